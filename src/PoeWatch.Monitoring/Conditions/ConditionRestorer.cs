using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Conditions;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;

namespace PoeWatch.Monitoring.Conditions;

/// <summary>Once the store is open: what was posted before a restart counts again until its end. Until then it is unknown, the worst case.</summary>
public sealed partial class ConditionRestorer(
    StoreGate gate, IConditionStore store, ConditionBoard board, TimeProvider time, ILogger<ConditionRestorer> log) : BackgroundService
{
    private static readonly TimeSpan TryAgain = TimeSpan.FromSeconds(5);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            await gate.WaitReadyAsync(stoppingToken).ConfigureAwait(false);
            while (!await TryAsync(stoppingToken).ConfigureAwait(false))
            {
                await Task.Delay(TryAgain, time, stoppingToken).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    private async Task<bool> TryAsync(CancellationToken stoppingToken)
    {
        try
        {
            IReadOnlyList<PostedCondition> words = await store.ReadNewestPostedAsync(stoppingToken).ConfigureAwait(false);
            board.Say(words);
            LogRestored(words.Count(word => word.CountsAt(time.GetUtcNow())));
            return true;
        }
        catch (StoreException away)
        {
            LogAway(away.Message);
            return false;
        }
    }

    [LoggerMessage(5011, LogLevel.Information, "Posted conditions that still count: {Count}.")]
    private partial void LogRestored(int count);

    [LoggerMessage(5012, LogLevel.Warning, "Posted conditions cannot be read yet, they count as unknown: {Reason}")]
    private partial void LogAway(string reason);
}
