using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>
/// Packs hours that are over and deletes raw readings and rollups past their days. No reading is deleted that a guard still needs, and nothing at all while
/// one of them cannot say. A store that is away is tried again at the next round.
/// </summary>
public sealed partial class HistoryUpkeepLoop(
    StoreGate gate, IHistoryUpkeep history, IRollupStore rollups, IEnumerable<IRetentionGuard> guards, IOptions<HistoryOptions> options, TimeProvider time,
    ILogger<HistoryUpkeepLoop> log)
    : BackgroundService
{
    private static readonly TimeSpan Round = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan DropPeriod = TimeSpan.FromHours(1);
    private static readonly TimeSpan Ahead = TimeSpan.FromDays(35);

    private DateTimeOffset _dropNext = DateTimeOffset.MinValue;
    private bool _isAway;

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            await gate.WaitReadyAsync(stoppingToken).ConfigureAwait(false);
            while (true)
            {
                await RoundAsync(stoppingToken).ConfigureAwait(false);
                await Task.Delay(Round, time, stoppingToken).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    private async Task RoundAsync(CancellationToken stoppingToken)
    {
        try
        {
            DateTimeOffset now = time.GetUtcNow();
            if (now >= _dropNext)
            {
                await history.PrepareUntilAsync(now, now + Ahead, stoppingToken).ConfigureAwait(false);
                await DropAsync(now, stoppingToken).ConfigureAwait(false);
                _dropNext = now + DropPeriod;
            }

            while (await history.PackAsync(now - options.Value.PackLag, stoppingToken).ConfigureAwait(false) > 0)
            {
            }

            _isAway = false;
        }
        catch (StoreException away)
        {
            if (!_isAway)
            {
                LogAway(away.Message);
            }

            _isAway = true;
        }
    }

    private async Task DropAsync(DateTimeOffset now, CancellationToken stoppingToken)
    {
        DateTimeOffset before = now.AddDays(-options.Value.RawDays);
        foreach (IRetentionGuard guard in guards)
        {
            if (await guard.EarliestNeededAsync(stoppingToken).ConfigureAwait(false) is { } needed && needed < before)
            {
                before = needed;
            }
        }

        await history.DropRawAsync(before, stoppingToken).ConfigureAwait(false);
        HistoryOptions stay = options.Value;
        foreach (var (step, days) in new[] { (RollupStep.QuarterHour, stay.QuarterHourDays), (RollupStep.Hour, stay.HourDays), (RollupStep.Day, stay.DayDays) })
        {
            await rollups.DropRollupsAsync(step, now.AddDays(-days), stoppingToken).ConfigureAwait(false);
        }
    }

    [LoggerMessage(2130, LogLevel.Warning, "The history cannot be packed or cleared now: {Reason} It is tried again every minute; readings are kept meanwhile.")]
    private partial void LogAway(string reason);
}
