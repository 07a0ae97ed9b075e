using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>Once the store is open: notes which design is in force, and shows the last kept readings until newer ones come.</summary>
public sealed partial class Restorer(
    StoreGate gate, IHistoryStore history, IDesignStore designs, DesignVersion inForce, ReadingIntake intake, TimeProvider time, ILogger<Restorer> log)
    : StoreOpening(gate, time)
{
    private bool _isDesignNoted;

    protected override async Task DoAsync(CancellationToken stoppingToken)
    {
        // Once: by the next try somebody may have applied another design.
        if (!_isDesignNoted)
        {
            await designs.SaveDesignAsync(inForce, stoppingToken).ConfigureAwait(false);
            _isDesignNoted = true;
        }

        IReadOnlyList<SwitchReading> latest = await history.ReadLatestAsync(stoppingToken).ConfigureAwait(false);
        intake.Restore(latest);
        LogRestored(latest.Count);
    }

    [LoggerMessage(2121, LogLevel.Information, "The history goes on: the last readings of {Count} elements were found.")]
    private partial void LogRestored(int count);

    [LoggerMessage(2122, LogLevel.Warning, "The last readings cannot be read yet: {Reason}")]
    protected override partial void LogAway(string reason);
}
