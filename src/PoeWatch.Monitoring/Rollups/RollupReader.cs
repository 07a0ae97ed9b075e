using System.Runtime.CompilerServices;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>
/// Answers from rollups, and from the readings themselves for what is not rolled up yet. Everything is streamed: no more than one packet is held, whatever the
/// period. Thread safe.
/// </summary>
public sealed class RollupReader(IRollupStore store, RollupMaker maker, DesignTimeline designs)
{
    /// <summary>So much of the site is worked out from the readings of all its elements at a time, no more.</summary>
    public static readonly TimeSpan OpenSiteMax = TimeSpan.FromHours(3);

    /// <summary>
    /// Intervals of one place in [from, to) in order of time, those that lie in it whole. Days that are not over come as hours. The site's end where it is rolled
    /// up to where more than <see cref="OpenSiteMax"/> is not: the service is catching up then. What no interval covers is unknown.
    /// </summary>
    public async IAsyncEnumerable<DrawRollup> IntervalsAsync(
        DrawPlace place, RollupStep step, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        RollupFrontier frontier = await store.ReadRollupFrontierAsync(cancellationToken).ConfigureAwait(false);
        DateTimeOffset days = frontier.Days ?? DateTimeOffset.MinValue;
        DateTimeOffset storedTo = step == RollupStep.Day && days < to ? days : to;
        await foreach (DrawRollup interval in StoredAsync(place, step, from, storedTo, cancellationToken).ConfigureAwait(false))
        {
            yield return interval;
        }

        RollupStep rest = step;
        DateTimeOffset next = from;
        if (step == RollupStep.Day && storedTo < to)
        {
            rest = RollupStep.Hour;
            next = storedTo > from ? storedTo : from;
            await foreach (DrawRollup interval in StoredAsync(place, rest, next, to, cancellationToken).ConfigureAwait(false))
            {
                yield return interval;
            }
        }

        DateTimeOffset live = frontier.Hours is { } hours && hours > next ? hours : next;
        if (frontier.Hours is null && place.Subject.Kind == RollupKind.Site && to - live > OpenSiteMax)
        {
            // The service has just begun: whole hours from the begin, so that steps stay where they are.
            live += TimeSpan.FromHours(Math.Ceiling((to - live - OpenSiteMax).TotalHours));
        }

        if (live < to && (place.Subject.Kind != RollupKind.Site || to - live <= OpenSiteMax))
        {
            foreach (DrawRollup interval in await LiveAsync(place, RollupWindow.OfBounds(rest.Bounds(live, to)), null, cancellationToken).ConfigureAwait(false))
            {
                yield return interval;
            }
        }
    }

    /// <summary>The same fitted into intervals between bounds: each one holds what lies in it, and unknown where nothing does.</summary>
    public async IAsyncEnumerable<DrawRollup> FittedAsync(
        DrawPlace place, RollupStep step, IReadOnlyList<DateTimeOffset> bounds, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var parts = new List<DrawRollup>();
        var i = 0;
        await foreach (DrawRollup interval in IntervalsAsync(place, step, bounds[0], bounds[^1], cancellationToken).ConfigureAwait(false))
        {
            for (; interval.Start >= bounds[i + 1]; i++)
            {
                yield return DrawRollup.Merge(parts, bounds[i], bounds[i + 1]);
                parts.Clear();
            }

            parts.Add(interval);
        }

        for (; i + 1 < bounds.Count; i++)
        {
            yield return DrawRollup.Merge(parts, bounds[i], bounds[i + 1]);
            parts.Clear();
        }
    }

    /// <summary>Intervals between any bounds, made from the readings.</summary>
    /// <param name="seen">Told of each poll; null where nobody asks.</param>
    public async Task<IReadOnlyList<DrawRollup>> LiveAsync(
        DrawPlace place, RollupWindow window, Action<HeldPoll>? seen, CancellationToken cancellationToken)
    {
        var periods = await designs.ReadAsync(window.Start, window.End, cancellationToken).ConfigureAwait(false);
        PlaceRollups made = place.Subject.Kind switch
        {
            RollupKind.Ports => await maker.OfPortsAsync(_ => [place.Ref], window, periods, seen, cancellationToken).ConfigureAwait(false),
            RollupKind.Pole => await maker.OfPortsAsync(
                d => DesignSums.OfPole(d, place.Subject.Name), window, periods, seen, cancellationToken).ConfigureAwait(false),
            RollupKind.Switch => (await maker.OfElementAsync(
                place.Subject.Name, window, periods, PolePlan.Of([]), cancellationToken).ConfigureAwait(false)).Sum,
            RollupKind.Site when window.End - window.Start <= OpenSiteMax => await maker.OfOpenSiteAsync(window, periods, cancellationToken).ConfigureAwait(false),
            _ => throw new ArgumentOutOfRangeException(nameof(place), place, $"Readings are summed for a port, a pole or a switch, or for a site over {OpenSiteMax} at most."),
        };
        return made.BySteps[0];
    }

    /// <summary>The same of the sum of ports that have no rollups as a sum.</summary>
    /// <param name="portsOf">The ports by the design of the time.</param>
    public async Task<IReadOnlyList<DrawRollup>> LiveAsync(
        Func<DesignModel, IReadOnlyList<PsePortRef>> portsOf, RollupWindow window, Action<HeldPoll>? seen, CancellationToken cancellationToken)
    {
        var periods = await designs.ReadAsync(window.Start, window.End, cancellationToken).ConfigureAwait(false);
        return (await maker.OfPortsAsync(portsOf, window, periods, seen, cancellationToken).ConfigureAwait(false)).BySteps[0];
    }

    /// <summary>How long the draw of a port was how large, over the days of the site in [from, to) that are over.</summary>
    public async Task<DrawHistogram> HistogramAsync(PsePortRef port, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        var histogram = new DrawHistogram();
        await foreach (RollupBlock block in store.ReadRollupsAsync(
            DrawPlace.OfPort(port).Subject, RollupStep.Day, from, to, cancellationToken).ConfigureAwait(false))
        {
            if (block.Start >= from && block.End <= to && RollupCodec.Decode(block, port.Group, port.Port)?.Histogram is { } day)
            {
                histogram.Add(day);
            }
        }

        return histogram;
    }

    /// <summary>The ports of the site that drew most over the days in [from, to) that are over, the most first.</summary>
    /// <param name="rank">What counts: the larger the higher; null where it is unknown, and the port is left out.</param>
    /// <param name="count">Ports wanted, 1 or more.</param>
    public async Task<IReadOnlyList<PortDraw>> TopAsync(
        DateTimeOffset from, DateTimeOffset to, Func<DrawRollup, double?> rank, int count, CancellationToken cancellationToken)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 1);
        var top = new PriorityQueue<PortDraw, double>();
        var days = new Dictionary<PsePortRef, List<DrawRollup>>();
        string? pseId = null;
        await foreach (RollupBlock block in store.ReadRollupsAsync(RollupKind.Ports, RollupStep.Day, from, to, cancellationToken).ConfigureAwait(false))
        {
            // Element by element: what one has had is ranked before the next one comes.
            if (block.Subject.Name != pseId)
            {
                Rank();
                pseId = block.Subject.Name;
            }

            foreach (RollupLine line in block.Start >= from && block.End <= to ? RollupCodec.DecodeWithoutHistograms(block) : [])
            {
                var port = new PsePortRef(block.Subject.Name, line.Group, line.Port);
                if (!days.TryGetValue(port, out List<DrawRollup>? known))
                {
                    days.Add(port, known = []);
                }

                known.AddRange(line.Intervals);
            }
        }

        Rank();
        var ranked = new PortDraw[top.Count];
        for (var i = ranked.Length - 1; i >= 0; i--)
        {
            ranked[i] = top.Dequeue();
        }

        return ranked;

        void Rank()
        {
            foreach (var (port, parts) in days)
            {
                DrawRollup whole = DrawRollup.Merge(parts, from, to);
                if (rank(whole) is { } value)
                {
                    top.Enqueue(new PortDraw(port, whole), value);
                    if (top.Count > count)
                    {
                        top.Dequeue();
                    }
                }
            }

            days.Clear();
        }
    }

    /// <summary>The whole days of the site that a period touches and that are over: where it begins and ends.</summary>
    public async Task<(DateTimeOffset From, DateTimeOffset To)> DaysOverAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        RollupFrontier frontier = await store.ReadRollupFrontierAsync(cancellationToken).ConfigureAwait(false);
        TimeZoneInfo zone = SiteClock.ZoneOf(designs.Now.Site.TimeZoneId);
        DateTimeOffset start = LocalDay.Holding(from, zone).Start;
        DateTimeOffset end = LocalDay.Holding(to.AddTicks(-1), zone).End;
        end = frontier.Days is { } days && days < end ? days : end;
        return frontier.Days is null || end <= start ? (start, start) : (start, end);
    }

    private async IAsyncEnumerable<DrawRollup> StoredAsync(
        DrawPlace place, RollupStep step, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        if (from >= to)
        {
            yield break;
        }

        await foreach (RollupBlock block in store.ReadRollupsAsync(place.Subject, step, from, to, cancellationToken).ConfigureAwait(false))
        {
            foreach (DrawRollup interval in RollupCodec.Decode(block, place.Group, place.Port)?.Intervals ?? [])
            {
                if (interval.Start >= from && interval.End <= to)
                {
                    yield return interval;
                }
            }
        }
    }
}

/// <summary>What one port drew over a period.</summary>
public readonly record struct PortDraw(PsePortRef Port, DrawRollup Draw);
