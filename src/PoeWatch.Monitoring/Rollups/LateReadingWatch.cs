using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>
/// Notes readings that come for a time that is rolled up already, before they are kept: so that no crash between the two leaves a rollup that does not
/// know of them. Everything else passes straight through. Thread safe.
/// </summary>
public sealed class LateReadingWatch(IHistoryStore history, IRollupStore rollups) : IHistoryStore
{
    // Of the longest poll period that a design may have.
    private static readonly TimeSpan HoldMax = TimeSpan.FromMinutes(15) * DrawSpans.GapPeriods;

    private readonly Lock _gate = new();
    private DateTimeOffset? _rolledUpTo;
    private bool _isKnown;

    /// <summary>Says up to where readings are being rolled up: from now on earlier ones are late.</summary>
    public void RollingUpTo(DateTimeOffset until)
    {
        lock (_gate)
        {
            _rolledUpTo = _rolledUpTo is { } before && before > until ? before : until;
            _isKnown = true;
        }
    }

    public Task PrepareAsync(CancellationToken cancellationToken) => history.PrepareAsync(cancellationToken);

    public async Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        if (!_isKnown)
        {
            // Readings of before a restart can come before the rollups have begun their work.
            RollupFrontier frontier = await rollups.ReadRollupFrontierAsync(cancellationToken).ConfigureAwait(false);
            RollingUpTo(frontier.Hours ?? DateTimeOffset.MinValue);
        }

        var before = await NoteAsync(readings, null, cancellationToken).ConfigureAwait(false);
        await history.AppendAsync(readings, cancellationToken).ConfigureAwait(false);

        // A window whose rolling up began while this was written may not have seen it.
        await NoteAsync(readings, before, CancellationToken.None).ConfigureAwait(false);
    }

    public IAsyncEnumerable<SwitchReading> ReadAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        history.ReadAsync(pseId, from, to, cancellationToken);

    public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) => history.ReadLatestAsync(cancellationToken);

    /// <summary>The start of the hour of UTC that a moment lies in.</summary>
    internal static DateTimeOffset HourOf(DateTimeOffset moment) => new(moment.UtcTicks - (moment.UtcTicks % TimeSpan.TicksPerHour), TimeSpan.Zero);

    /// <summary>Notes what is late by now, save where that is known to have been noted; gives up to where it looked.</summary>
    private async Task<DateTimeOffset> NoteAsync(IReadOnlyList<SwitchReading> readings, DateTimeOffset? noted, CancellationToken cancellationToken)
    {
        DateTimeOffset until;
        lock (_gate)
        {
            until = _rolledUpTo ?? DateTimeOffset.MinValue;
        }

        if (until != noted && Late(readings, until) is { Count: > 0 } late)
        {
            await rollups.NoteLateHoursAsync(late, cancellationToken).ConfigureAwait(false);
        }

        return until;
    }

    private static HashSet<LateHour>? Late(IReadOnlyList<SwitchReading> readings, DateTimeOffset until)
    {
        HashSet<LateHour>? late = null;
        foreach (SwitchReading reading in readings)
        {
            if (reading.At < until)
            {
                late ??= [];
                late.Add(new LateHour(reading.PseId, HourOf(reading.At)));

                // It holds into the hour after, and what was before it no longer does: both sides change within the longest time that a reading holds.
                late.Add(new LateHour(reading.PseId, HourOf(reading.At - HoldMax)));
                late.Add(new LateHour(reading.PseId, HourOf(reading.At + HoldMax)));
            }
        }

        return late;
    }
}
