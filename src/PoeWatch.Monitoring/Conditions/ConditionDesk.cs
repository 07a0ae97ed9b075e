using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Service;

namespace PoeWatch.Monitoring.Conditions;

/// <summary>Takes what people say of conditions: first kept, then in force. Thread safe.</summary>
public sealed partial class ConditionDesk(
    IConditionStore store, StoreGate gate, ConditionBoard board, SiteMonitor monitor, TimeProvider time, ILogger<ConditionDesk> log) : IConditionDesk, IDisposable
{
    // One at a time: the order in the store is the order on the board.
    private readonly SemaphoreSlim _one = new(1, 1);

    public Task<PostedCondition> SayAsync(string topic, bool holds, DateTimeOffset until, string who, string text, CancellationToken cancellationToken) =>
        KeepAsync(at => new PostedCondition(topic, at, who, holds, null, until, text), cancellationToken);

    public Task<PostedCondition> SayAirAsync(Temperature air, DateTimeOffset until, string who, string text, CancellationToken cancellationToken) =>
        KeepAsync(at => new PostedCondition(ConditionNames.AirTemperature, at, who, null, air, until, text), cancellationToken);

    public async Task<bool> TakeBackAsync(string topic, string who, CancellationToken cancellationToken)
    {
        if (board.On(topic) is not { } word || !word.CountsAt(time.GetUtcNow()))
        {
            return false;
        }

        await KeepAsync(at => new PostedCondition(topic, at, who, null, null, null, ""), cancellationToken).ConfigureAwait(false);
        return true;
    }

    public void Dispose() => _one.Dispose();

    private async Task<PostedCondition> KeepAsync(Func<DateTimeOffset, PostedCondition> make, CancellationToken cancellationToken)
    {
        await _one.WaitAsync(cancellationToken).ConfigureAwait(false);
        PostedCondition word;
        try
        {
            if (!gate.IsReady)
            {
                throw new StoreException($"It does not count, because it cannot be kept: the store is not open. {gate.Problem}", isTransient: true, new IOException(gate.Problem));
            }

            // A clock that was stepped back must not put the newest word behind an older one.
            DateTimeOffset now = time.GetUtcNow();
            word = make(now);
            if (board.On(word.Topic) is { } known && known.At >= now)
            {
                word = word with { At = known.At.AddMicroseconds(1) };
            }

            await store.SavePostedAsync(word, cancellationToken).ConfigureAwait(false);
            board.Say(word);
        }
        finally
        {
            _one.Release();
        }

        LogSaid(word.Who, word.Topic, word.IsWithdrawn ? "taken back" : word.Holds?.ToString() ?? word.Air.ToString()!, word.Until);
        await monitor.RenewAsync(cancellationToken).ConfigureAwait(false);
        return word;
    }

    [LoggerMessage(5010, LogLevel.Information, "{Who} says of {Topic}: {Said}, until {Until}.")]
    private partial void LogSaid(string who, string topic, string said, DateTimeOffset? until);
}
