using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;

namespace PoeWatch.Monitoring.Alarming;

/// <summary>Once the store is open and rolled up: reads the days of each port out of the history, so that a restart forgets neither a creep nor what is usual.</summary>
public sealed partial class TrendRestorer(
    StoreGate gate, TrendHistory history, ISiteView view, AlarmLedger ledger, TimeProvider time, ILogger<TrendRestorer> log) : StoreOpening(gate, time)
{
    private static readonly TimeSpan LookAgain = TimeSpan.FromMinutes(1);

    // What is polled from here on is noted as it comes.
    private readonly DateTimeOffset _startedAt = time.GetUtcNow();

    protected override async Task DoAsync(CancellationToken stoppingToken)
    {
        while (!await history.IsReadyAsync(_startedAt, stoppingToken).ConfigureAwait(false))
        {
            await Task.Delay(LookAgain, Time, stoppingToken).ConfigureAwait(false);
        }

        IReadOnlyDictionary<PsePortRef, PortMemory> older = await history.ReadAsync(view.Current.Design, _startedAt, stoppingToken).ConfigureAwait(false);
        ledger.Recall(older);
        LogRestored(older.Count);
    }

    [LoggerMessage(3111, LogLevel.Information, "The days of {Count} ports are remembered again, out of the history.")]
    private partial void LogRestored(int count);

    [LoggerMessage(3112, LogLevel.Warning, "The days of ports cannot be read out of the history yet, so rules of trend and step say nothing: {Reason}")]
    protected override partial void LogAway(string reason);
}
