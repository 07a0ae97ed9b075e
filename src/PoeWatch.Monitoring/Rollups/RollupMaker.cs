using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>Makes the rollups of a window from the kept readings. Writes nothing. Thread safe.</summary>
public sealed class RollupMaker(IHistoryStore history, IRollupStore rollups)
{
    /// <summary>Each port of an element, their sum, and the poles that this element alone feeds.</summary>
    internal async Task<ElementRollups> OfElementAsync(
        string pseId, RollupWindow window, IReadOnlyList<DesignPeriod> designs, PolePlan poles, CancellationToken cancellationToken)
    {
        var roller = new ElementRoller(pseId, window, designs, poles);
        await foreach (HeldPoll held in HeldAsync(pseId, window.Start, window.End, designs, cancellationToken).ConfigureAwait(false))
        {
            roller.Add(held);
        }

        return roller.Finish();
    }

    /// <summary>The sum of some ports, which may change with the design; null from it where the sum is unknown. Holds a day of them at most.</summary>
    /// <param name="seen">Told of each poll that says anything of the time, in order element by element.</param>
    internal async Task<PlaceRollups> OfPortsAsync(
        Func<DesignModel, IReadOnlyList<PsePortRef>?> portsOf,
        RollupWindow window,
        IReadOnlyList<DesignPeriod> designs,
        Action<HeldPoll>? seen,
        CancellationToken cancellationToken)
    {
        var sum = new PlaceCutters(window, withHistogram: false);
        var parts = new SortedDictionary<PsePortRef, PlaceCutters>();
        foreach (DesignPeriod period in designs)
        {
            if (portsOf(period.Design) is not { Count: > 0 } ports)
            {
                continue;
            }

            DateTimeOffset[] days = RollupSteps.Every(TimeSpan.FromDays(1), period.From, period.To);
            for (var i = 0; i + 1 < days.Length; i++)
            {
                var part = period with { From = days[i], To = days[i + 1] };
                var spans = await SpansAsync(ports, part, designs, seen, cancellationToken).ConfigureAwait(false);
                foreach (var (port, held) in spans)
                {
                    AddAll(parts.TryGetValue(port, out PlaceCutters? known) ? known : parts[port] = new PlaceCutters(window, withHistogram: false), held);
                }

                AddAll(sum, StepSum.Of([.. spans.Values.Select(s => s.ToImmutable())]));
            }
        }

        return sum.Finish().WithParts([.. parts.Values.Select(p => p.Finish())]);
    }

    /// <summary>The sum of all elements that mains feed, whose own sums are stored; an hour at a time, so that no more than an hour of all of them is held.</summary>
    internal async Task<PlaceRollups> OfSiteAsync(RollupWindow window, IReadOnlyList<DesignPeriod> designs, CancellationToken cancellationToken)
    {
        var site = await SumOfSiteAsync(window, designs, cancellationToken).ConfigureAwait(false);
        return await WithPartsOfSiteAsync(site, window, designs, cancellationToken).ConfigureAwait(false);
    }

    /// <summary>The same of time in which the elements' own sums are not stored yet: their readings are read twice, so for a short window.</summary>
    internal async Task<PlaceRollups> OfOpenSiteAsync(RollupWindow window, IReadOnlyList<DesignPeriod> designs, CancellationToken cancellationToken)
    {
        var site = await SumOfSiteAsync(window, designs, cancellationToken).ConfigureAwait(false);
        var elements = designs.SelectMany(d => DesignSums.OfSite(d.Design)).Distinct(StringComparer.Ordinal).ToList();
        var parts = new SiteParts(site, elements.Count);
        foreach (var pseId in elements)
        {
            parts.Add((await OfElementAsync(pseId, window, designs, PolePlan.Of([]), cancellationToken).ConfigureAwait(false)).Sum);
        }

        return parts.Finish();
    }

    private async Task<PlaceRollups> SumOfSiteAsync(RollupWindow window, IReadOnlyList<DesignPeriod> designs, CancellationToken cancellationToken)
    {
        var sum = new PlaceCutters(window, withHistogram: false);
        foreach (DesignPeriod period in designs)
        {
            DateTimeOffset[] hours = RollupStep.Hour.Bounds(period.From, period.To);
            for (var i = 0; i + 1 < hours.Length; i++)
            {
                var spans = new List<ImmutableArray<DrawSpan>>();
                foreach (var pseId in DesignSums.OfSite(period.Design))
                {
                    spans.Add(await SumsAsync(pseId, hours[i], hours[i + 1], period, cancellationToken).ConfigureAwait(false));
                }

                AddAll(sum, StepSum.Of(spans));
            }
        }

        return sum.Finish();
    }

    private async Task<Dictionary<PsePortRef, ImmutableArray<DrawSpan>.Builder>> SpansAsync(
        IReadOnlyList<PsePortRef> ports, DesignPeriod period, IReadOnlyList<DesignPeriod> designs, Action<HeldPoll>? seen, CancellationToken cancellationToken)
    {
        var spans = ports.ToDictionary(p => p, _ => ImmutableArray.CreateBuilder<DrawSpan>());
        foreach (var pseId in ports.Select(p => p.PseId).Distinct(StringComparer.Ordinal))
        {
            await foreach (HeldPoll held in HeldAsync(pseId, period.From, period.To, designs, cancellationToken).ConfigureAwait(false))
            {
                seen?.Invoke(held);
                Collect(spans, held, period);
            }
        }

        return spans;
    }

    private static void Collect(Dictionary<PsePortRef, ImmutableArray<DrawSpan>.Builder> spans, HeldPoll held, DesignPeriod period)
    {
        DateTimeOffset start = held.Start > period.From ? held.Start : period.From;
        DateTimeOffset end = held.End < period.To ? held.End : period.To;
        foreach (PortReading reading in held.Reading.Ports)
        {
            if (start < end && reading.DrawAtPse is not null && spans.TryGetValue(reading.Port, out var known))
            {
                known.Add(new DrawSpan(start, end, new KnownPower(reading.DrawAtPse, reading.Provenance)));
            }
        }
    }

    private static void AddAll(PlaceCutters cutters, IEnumerable<DrawSpan> spans)
    {
        foreach (DrawSpan span in spans)
        {
            cutters.Add(span.Start, span.End, span.Power);
        }
    }

    private async Task<ImmutableArray<DrawSpan>> SumsAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, DesignPeriod period, CancellationToken cancellationToken)
    {
        var spans = ImmutableArray.CreateBuilder<DrawSpan>();
        var ports = DesignSums.OfElement(period.Design, pseId).ToHashSet();
        await foreach (HeldPoll held in HeldAsync(pseId, from, to, [period], cancellationToken).ConfigureAwait(false))
        {
            ports.UnionWith(held.Reading.Ports.Select(p => p.Port));
            if (held.Reading.Ports.Length == ports.Count && ports.Count > 0)
            {
                KnownPower power = held.Reading.Ports.Select(p => new KnownPower(p.DrawAtPse, p.Provenance)).Aggregate((a, b) => a + b);
                spans.Add(new DrawSpan(held.Start > from ? held.Start : from, held.End < to ? held.End : to, power));
            }
        }

        return spans.ToImmutable();
    }

    // Of the elements' own sums as they are stored, one after another: the site's parts are added up, not held.
    private async Task<PlaceRollups> WithPartsOfSiteAsync(
        PlaceRollups site, RollupWindow window, IReadOnlyList<DesignPeriod> designs, CancellationToken cancellationToken)
    {
        var elements = designs.SelectMany(d => DesignSums.OfSite(d.Design)).ToHashSet(StringComparer.Ordinal);
        var parts = new SiteParts(site, elements.Count);
        for (var step = 0; step < window.Steps.Count; step++)
        {
            await foreach (RollupBlock block in rollups.ReadRollupsAsync(
                RollupKind.Switch, window.Steps[step], window.Start, window.End, cancellationToken).ConfigureAwait(false))
            {
                foreach (DrawRollup part in elements.Contains(block.Subject.Name) ? RollupCodec.Decode(block, 0, 0)?.Intervals ?? [] : [])
                {
                    parts.Add(step, Array.BinarySearch(window.Bounds[step], part.Start), part);
                }
            }
        }

        return parts.Finish();
    }

    /// <summary>Polls of an element that hold in [from, to), the one before and the one after it looked at.</summary>
    private async IAsyncEnumerable<HeldPoll> HeldAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, IReadOnlyList<DesignPeriod> designs, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        TimeSpan period = DesignSums.PollPeriod(designs, pseId);
        var holder = new PollHolder(period);
        await foreach (SwitchReading reading in history.ReadAsync(
            pseId, from - (period * DrawSpans.GapPeriods), to + (period * DrawSpans.GapPeriods), cancellationToken).ConfigureAwait(false))
        {
            if (holder.Add(reading) is { } held && held.End > from && held.Start < to)
            {
                yield return held;
            }
        }

        if (holder.End() is { } last && last.End > from && last.Start < to)
        {
            yield return last;
        }
    }
}
