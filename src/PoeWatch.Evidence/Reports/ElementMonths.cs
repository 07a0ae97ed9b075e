using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Evidence.Reports;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Evidence.Exports;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Evidence.Reports;

/// <summary>
/// Gathers what elements come to over a month, a day at a time: out of stored quarter-hours where they hold that day whole, else out of the readings. Both give
/// the same figures. Not thread safe.
/// </summary>
internal sealed class ElementMonths
{
    private static readonly TimeSpan Piece = TimeSpan.FromDays(1);

    private readonly EvidenceSources _sources;
    private readonly DesignTimeline _designs;
    private readonly SortedDictionary<string, RunTally> _tallies;
    private readonly DateTimeOffset _rolledUpTo;
    private readonly ILookup<string, DateTimeOffset> _late;

    private ElementMonths(
        EvidenceSources sources, DesignTimeline designs, SortedDictionary<string, RunTally> tallies, DateTimeOffset rolledUpTo, ILookup<string, DateTimeOffset> late) =>
        (_sources, _designs, _tallies, _rolledUpTo, _late) = (sources, designs, tallies, rolledUpTo, late);

    /// <param name="tallies">Of each run by its id; added to.</param>
    public static async Task<ElementMonths> ReadAsync(
        EvidenceSources sources, DesignTimeline designs, SortedDictionary<string, RunTally> tallies, CancellationToken cancellationToken)
    {
        var frontier = await sources.Rollups.ReadRollupFrontierAsync(cancellationToken).ConfigureAwait(false);
        var late = await sources.Rollups.ReadLateHoursAsync(cancellationToken).ConfigureAwait(false);
        return new ElementMonths(
            sources, designs, tallies, frontier.Hours ?? DateTimeOffset.MinValue, late.ToLookup(l => l.PseId, l => l.Hour, StringComparer.Ordinal));
    }

    /// <summary>Adds an element's draws to its runs; gives its polls and leaves.</summary>
    public async Task<SwitchMonth> AddAsync(string pseId, DateTimeOffset start, DateTimeOffset end, CancellationToken cancellationToken)
    {
        var (polls, answered, seals, amendments) = (0L, 0L, 0, 0);
        foreach (var (from, to) in PiecesOf(start, end))
        {
            await AddDrawsAsync(pseId, from, to, cancellationToken).ConfigureAwait(false);
            await foreach (var page in _sources.Ports.ReadPortsAsync(pseId, [], from, to, cancellationToken).ConfigureAwait(false))
            {
                polls += page.Polls.Length;
                answered += page.Polls.Count(p => p.Outcome is PollOutcome.Answered or PollOutcome.Partial);
            }

            var leaves = await _sources.Seals.ReadSealsAsync(pseId, from, to, cancellationToken).ConfigureAwait(false);
            seals += leaves.Count(l => l.Kind == SealKind.Seal);
            amendments += leaves.Count(l => l.Kind == SealKind.Amendment);
        }

        return new SwitchMonth(pseId, polls, answered, seals, amendments, (int)((end - start) / SealInterval.Length));
    }

    // None lies on both sides of where rollups end.
    private IEnumerable<(DateTimeOffset Start, DateTimeOffset End)> PiecesOf(DateTimeOffset start, DateTimeOffset end)
    {
        var cut = _rolledUpTo < start ? start : _rolledUpTo < end ? _rolledUpTo : end;
        return _designs.Pieces(start, cut, Piece).Concat(_designs.Pieces(cut, end, Piece));
    }

    private async Task AddDrawsAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        if (_designs.At(from)?.CableRunByPort.Keys.Any(p => p.PseId == pseId) != true)
        {
            return;
        }

        if (await QuarterHoursAsync(pseId, from, to, cancellationToken).ConfigureAwait(false) is { } quarterHours)
        {
            foreach (var (port, interval) in quarterHours)
            {
                TallyOf(port, from)?.Add(interval);
            }
        }
        else
        {
            await AddReadingsAsync(pseId, from, to, cancellationToken).ConfigureAwait(false);
        }
    }

    /// <summary>Stored quarter-hours of [from, to) by port; null where they do not hold all of it, or no longer what the readings say.</summary>
    private async Task<List<(PsePortRef Port, DrawRollup Interval)>?> QuarterHoursAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        // A late reading changes the hour that it falls into, and by what holds over its end the next one.
        if (to > _rolledUpTo || _late[pseId].Any(hour => hour < to && hour + TimeSpan.FromHours(2) > from))
        {
            return null;
        }

        var found = new List<(PsePortRef, DrawRollup)>();
        var held = from;
        await foreach (var block in _sources.Rollups.ReadRollupsAsync(
            new RollupSubject(RollupKind.Ports, pseId), RollupStep.QuarterHour, from, to, cancellationToken).ConfigureAwait(false))
        {
            if (block.Start > held)
            {
                return null;
            }

            held = block.End;
            foreach (var line in RollupCodec.DecodeWithoutHistograms(block))
            {
                foreach (var interval in line.Intervals.Where(i => i.Start < to && i.End > from))
                {
                    // The design changed in the middle of it: its two parts may belong to different runs.
                    if (interval.Start < from || interval.End > to)
                    {
                        return null;
                    }

                    found.Add((new PsePortRef(pseId, line.Group, line.Port), interval));
                }
            }
        }

        return held >= to ? found : null;
    }

    private async Task AddReadingsAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        var period = _designs.PollPeriodOf(pseId, from);
        var margin = period * DrawSpans.GapPeriods;
        var samples = new Dictionary<PsePortRef, List<DrawSample>>();
        await foreach (var reading in _sources.History.ReadAsync(pseId, from - margin, to + margin, cancellationToken).ConfigureAwait(false))
        {
            foreach (var port in reading.Ports.Select(p => p.Port).Where(p => _designs.CableRunOf(p, reading.At) is not null))
            {
                samples.TryAdd(port, []);
            }

            foreach (var (port, ofPort) in samples)
            {
                ofPort.Add(DrawSample.OfPort(reading, port));
            }
        }

        foreach (var (port, ofPort) in samples)
        {
            foreach (var step in TallyOf(port, from) is null ? [] : DrawSeries.Of(DrawSpans.From(ofPort, period), from, to, SealInterval.Length))
            {
                TallyOf(port, from)!.Add(step);
            }
        }
    }

    // Null where the port fed no run then.
    private RunTally? TallyOf(PsePortRef port, DateTimeOffset time) => _designs.CableRunOf(port, time) is { } cableRun
        ? _tallies.TryGetValue(cableRun.Id, out var tally) ? tally : _tallies[cableRun.Id] = new RunTally()
        : null;
}
