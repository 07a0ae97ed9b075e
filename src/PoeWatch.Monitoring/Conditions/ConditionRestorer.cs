using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Conditions;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;

namespace PoeWatch.Monitoring.Conditions;

/// <summary>Once the store is open: what was posted before a restart counts again until its end. Until then it is unknown, the worst case.</summary>
public sealed partial class ConditionRestorer(
    StoreGate gate, IConditionStore store, ConditionBoard board, TimeProvider time, ILogger<ConditionRestorer> log) : StoreOpening(gate, time)
{
    protected override async Task DoAsync(CancellationToken stoppingToken)
    {
        IReadOnlyList<PostedCondition> words = await store.ReadNewestPostedAsync(stoppingToken).ConfigureAwait(false);
        board.Say(words);
        LogRestored(words.Count(word => word.CountsAt(Time.GetUtcNow())));
    }

    [LoggerMessage(5011, LogLevel.Information, "Posted conditions that still count: {Count}.")]
    private partial void LogRestored(int count);

    [LoggerMessage(5012, LogLevel.Warning, "Posted conditions cannot be read yet, they count as unknown: {Reason}")]
    protected override partial void LogAway(string reason);
}
