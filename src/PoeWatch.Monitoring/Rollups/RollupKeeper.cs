using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Telemetry;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>
/// Rolls up each hour and each day of the site some time after its end, catches up after the service was away, and does hours again that readings came late
/// for. One window at a time, beside polling and never in its way. A store that is away is waited for. Thread safe.
/// </summary>
public sealed partial class RollupKeeper : BackgroundService
{
    /// <summary>Shortest time from the end of an interval to its rollup: what is under way at the end is kept by then.</summary>
    public static readonly TimeSpan LagMin = TimeSpan.FromMinutes(5);

    private static readonly TimeSpan Beat = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan Hour = TimeSpan.FromHours(1);

    private readonly IHistoryStore _history;
    private readonly IRollupStore _store;
    private readonly RollupWriter _writer;
    private readonly DesignTimeline _designs;
    private readonly LateReadingWatch _late;
    private readonly StoreGate _gate;
    private readonly RollupMetrics _metrics;
    private readonly TimeProvider _time;
    private readonly ILogger<RollupKeeper> _log;
    private RollupFrontier _frontier;
    private long _upToTicks;
    private string _problem = string.Empty;

    public RollupKeeper(
        IHistoryStore history, IRollupStore store, RollupWriter writer, DesignTimeline designs, LateReadingWatch late, StoreGate gate,
        RollupMetrics metrics, TimeProvider time, ILogger<RollupKeeper> log)
    {
        (_history, _store, _writer, _designs, _late) = (history, store, writer, designs, late);
        (_gate, _metrics, _time, _log) = (gate, metrics, time, log);
        metrics.Observe(() => Behind.TotalSeconds);
    }

    /// <summary>Up to where quarter-hours and hours are rolled up; null before the first.</summary>
    public DateTimeOffset? UpTo => Volatile.Read(ref _upToTicks) is var ticks and > 0 ? new DateTimeOffset(ticks, TimeSpan.Zero) : null;

    /// <summary>How far the rollups are behind what they could be.</summary>
    public TimeSpan Behind => UpTo is { } until && _time.GetUtcNow() - Lag() - Hour - until is { Ticks: > 0 } behind ? behind : TimeSpan.Zero;

    /// <summary>Why nothing is rolled up now; empty where it is.</summary>
    public string Problem => Volatile.Read(ref _problem);

    /// <summary>Does the one thing that is most due; false where nothing is.</summary>
    internal async Task<bool> TurnAsync(CancellationToken cancellationToken)
    {
        DateTimeOffset ready = _time.GetUtcNow() - Lag();
        if (_frontier.Hours is null)
        {
            MoveTo(await FirstFrontierAsync(cancellationToken).ConfigureAwait(false));
            _late.RollingUpTo(_frontier.Hours!.Value);
        }

        DateTimeOffset day = _frontier.Days!.Value;
        DateTimeOffset dayEnd = LocalDay.Holding(day, Zone()).End;
        if (dayEnd <= ready)
        {
            await RollAsync(RollupWindow.OfDay(day, dayEnd), new RollupFrontier(dayEnd, dayEnd), cancellationToken).ConfigureAwait(false);
            return true;
        }

        DateTimeOffset hour = _frontier.Hours!.Value;
        DateTimeOffset hourEnd = hour + Hour < dayEnd ? hour + Hour : dayEnd;
        if (hourEnd <= ready)
        {
            await RollAsync(RollupWindow.OfHours(hour, hourEnd), _frontier with { Hours = hourEnd }, cancellationToken).ConfigureAwait(false);
            return true;
        }

        return await AgainAsync(ready, cancellationToken).ConfigureAwait(false);
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            await _gate.WaitReadyAsync(stoppingToken).ConfigureAwait(false);
            while (!stoppingToken.IsCancellationRequested)
            {
                if (!await TryTurnAsync(stoppingToken).ConfigureAwait(false))
                {
                    await Task.Delay(Beat, _time, stoppingToken).ConfigureAwait(false);
                }
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping: a window that was under way is done again after the start.
        }
    }

    private async Task<bool> TryTurnAsync(CancellationToken stoppingToken)
    {
        try
        {
            var isMore = await TurnAsync(stoppingToken).ConfigureAwait(false);
            Volatile.Write(ref _problem, string.Empty);
            return isMore;
        }
        catch (Exception failed) when (failed is not OperationCanceledException)
        {
            // A store that is away, a reading that is damaged, a fault of ours: the rest of the service goes on, and it is tried again.
            if (Problem.Length == 0)
            {
                LogFailed(failed, failed.Message);
            }

            Volatile.Write(ref _problem, failed.Message);
            _metrics.Failed();
            return false;
        }
    }

    private async Task RollAsync(RollupWindow window, RollupFrontier then, CancellationToken cancellationToken)
    {
        // First said, then read: what is appended from now on is late, so nothing slips in between.
        _late.RollingUpTo(window.End);
        long began = _time.GetTimestamp();
        await _writer.WriteAsync(window, await _designs.ReadAsync(window.Start, window.End, cancellationToken).ConfigureAwait(false), cancellationToken)
            .ConfigureAwait(false);
        await _store.SaveRollupFrontierAsync(then, cancellationToken).ConfigureAwait(false);
        MoveTo(then);
        _metrics.Rolled(window.HasDays, _time.GetElapsedTime(began));
        LogRolled(window.Start, window.End);
    }

    private async Task<bool> AgainAsync(DateTimeOffset ready, CancellationToken cancellationToken)
    {
        // A clock that was ahead for a while leaves rollups of times to come: then all that is read is late, and waits here until its window is over.
        var late = (await _store.ReadLateHoursAsync(cancellationToken).ConfigureAwait(false))
            .Select(l => (Late: l, Window: WindowOf(l.Hour)))
            .Where(l => l.Window is null || l.Window.End <= ready)
            .ToList();
        if (late.Count == 0)
        {
            return false;
        }

        RollupWindow? window = late[0].Window;
        LateHour[] now = [.. late.Where(l => l.Window?.Start == window?.Start).Select(l => l.Late)];
        if (window is not null)
        {
            var designs = await _designs.ReadAsync(window.Start, window.End, cancellationToken).ConfigureAwait(false);
            string[] ids = [.. now.Select(l => l.PseId).Distinct(StringComparer.Ordinal)];
            var left = await _writer.WriteAgainAsync(ids, window, designs, cancellationToken).ConfigureAwait(false);
            _metrics.Again(ids.Length - left.Count);
            LogAgain(window.Start, window.End, ids.Length - left.Count, left.Count);
        }

        await _store.ForgetLateHoursAsync(now, cancellationToken).ConfigureAwait(false);
        return true;
    }

    /// <summary>The window that an hour was rolled up in; null where it still will be.</summary>
    private RollupWindow? WindowOf(DateTimeOffset hour)
    {
        if (hour >= _frontier.Hours)
        {
            return null;
        }

        if (hour < _frontier.Days)
        {
            var day = LocalDay.Holding(hour, Zone());
            return RollupWindow.OfDay(day.Start, day.End < _frontier.Days ? day.End : _frontier.Days.Value);
        }

        // Hours of the site begin with its day, which is not on the hour of UTC everywhere.
        DateTimeOffset start = _frontier.Days!.Value + (Hour * Math.Floor((hour - _frontier.Days.Value) / Hour));
        return RollupWindow.OfHours(start, start + Hour < _frontier.Hours ? start + Hour : _frontier.Hours!.Value);
    }

    // A history that began before there were rollups is rolled up from its first reading on.
    private async Task<RollupFrontier> FirstFrontierAsync(CancellationToken cancellationToken)
    {
        RollupFrontier known = await _store.ReadRollupFrontierAsync(cancellationToken).ConfigureAwait(false);
        if (known is { Hours: not null, Days: not null })
        {
            return known;
        }

        DateTimeOffset first = _time.GetUtcNow();
        foreach (var pseId in _designs.Now.Agents.Keys)
        {
            await foreach (SwitchReading reading in _history.ReadAsync(pseId, DateTimeOffset.UnixEpoch, first, cancellationToken).ConfigureAwait(false))
            {
                first = reading.At;
                break;
            }
        }

        DateTimeOffset day = LocalDay.Holding(first, Zone()).Start;
        return new RollupFrontier(day, day);
    }

    private void MoveTo(RollupFrontier frontier)
    {
        _frontier = frontier;
        Volatile.Write(ref _upToTicks, frontier.Hours!.Value.UtcTicks);
    }

    private TimeZoneInfo Zone() => SiteClock.ZoneOf(_designs.Now.Site.TimeZoneId);

    // The reading after the end says until when the last one before it holds.
    private TimeSpan Lag()
    {
        TimeSpan longest = _designs.Now.Agents.Values.Select(a => a.PollPeriod).DefaultIfEmpty(TimeSpan.Zero).Max();
        TimeSpan lag = (longest * DrawSpans.GapPeriods) + Beat;
        return lag > LagMin ? lag : LagMin;
    }

    [LoggerMessage(2301, LogLevel.Debug, "Rolled up {Start} to {End}")]
    private partial void LogRolled(DateTimeOffset start, DateTimeOffset end);

    [LoggerMessage(2302, LogLevel.Information, "Readings came late for {Start} to {End}: {Count} elements were rolled up again; {Left} were left, because readings of that time are deleted")]
    private partial void LogAgain(DateTimeOffset start, DateTimeOffset end, int count, int left);

    [LoggerMessage(2303, LogLevel.Warning, "Rolling up the history fails and is tried again each minute: {Reason}")]
    private partial void LogFailed(Exception fault, string reason);
}
