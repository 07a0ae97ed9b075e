using Microsoft.Extensions.Logging;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;

namespace PoeWatch.Monitoring.Balance;

/// <summary>Once the store is open: reads what metered segments are remembered by out of the history, so that a restart forgets no loop.</summary>
public sealed partial class BalanceRestorer(
    StoreGate gate, IPortHistory history, ISiteView view, BalanceBook book, TimeProvider time, ILogger<BalanceRestorer> log) : StoreOpening(gate, time)
{
    // What is polled from here on is noted as it comes.
    private readonly DateTimeOffset _startedAt = time.GetUtcNow();

    protected override async Task DoAsync(CancellationToken stoppingToken)
    {
        IReadOnlyList<SegmentMemory> older = await BalanceHistory.ReadAsync(
            history, view.Current.Design, _startedAt.AddDays(-SegmentMemory.DaysKept), _startedAt, stoppingToken).ConfigureAwait(false);
        book.Recall(older);
        LogRestored(older.Count);
    }

    [LoggerMessage(3401, LogLevel.Information, "What the history tells of {Count} segments that are metered at both ends is remembered again.")]
    private partial void LogRestored(int count);

    [LoggerMessage(3402, LogLevel.Warning, "What the history tells of segments that are metered at both ends cannot be read yet: {Reason}")]
    protected override partial void LogAway(string reason);
}
