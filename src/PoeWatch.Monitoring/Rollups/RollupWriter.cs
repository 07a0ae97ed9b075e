using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>Rolls up windows into the store, element by element, so that no more than one element is held. Doing a window again gives the same. Thread safe.</summary>
public sealed class RollupWriter(RollupMaker maker, IRollupStore store, TimeProvider time)
{
    /// <summary>A whole window: all elements of the designs of that time, their poles and the site.</summary>
    public async Task WriteAsync(RollupWindow window, IReadOnlyList<DesignPeriod> designs, CancellationToken cancellationToken)
    {
        var poles = PolePlan.Of(designs);
        foreach (var pseId in designs.SelectMany(d => d.Design.Agents.Keys).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal))
        {
            long began = time.GetTimestamp();
            var blocks = Blocks(pseId, window, await maker.OfElementAsync(pseId, window, designs, poles, cancellationToken).ConfigureAwait(false));
            await store.SaveRollupsAsync(blocks, cancellationToken).ConfigureAwait(false);
            await RestAsync(began, cancellationToken).ConfigureAwait(false);
        }

        await WriteAcrossAsync(window, designs, poles, static _ => true, cancellationToken).ConfigureAwait(false);
    }

    /// <summary>
    /// Elements of a window again, with all sums that they are part of. What knows less than what is stored is not written: then readings of that time were
    /// deleted meanwhile. Gives the elements that were left as they are.
    /// </summary>
    public async Task<IReadOnlyList<string>> WriteAgainAsync(
        IReadOnlyCollection<string> pseIds, RollupWindow window, IReadOnlyList<DesignPeriod> designs, CancellationToken cancellationToken)
    {
        var poles = PolePlan.Of(designs);
        var left = new List<string>();
        foreach (var pseId in pseIds)
        {
            var blocks = Blocks(pseId, window, await maker.OfElementAsync(pseId, window, designs, poles, cancellationToken).ConfigureAwait(false));
            if (await KnowsLessAsync(blocks[0], cancellationToken).ConfigureAwait(false))
            {
                left.Add(pseId);
                continue;
            }

            await store.SaveRollupsAsync(blocks, cancellationToken).ConfigureAwait(false);
        }

        if (left.Count < pseIds.Count)
        {
            await WriteAcrossAsync(window, designs, poles, ids => ids.Any(pseIds.Contains), cancellationToken).ConfigureAwait(false);
        }

        return left;
    }

    private async Task WriteAcrossAsync(
        RollupWindow window, IReadOnlyList<DesignPeriod> designs, PolePlan poles, Func<IReadOnlyList<string>, bool> isWanted, CancellationToken cancellationToken)
    {
        foreach (var (pole, _) in poles.AcrossElements.Where(p => isWanted(p.Value)).OrderBy(p => p.Key, StringComparer.Ordinal))
        {
            long began = time.GetTimestamp();
            PlaceRollups rollups = await maker.OfPortsAsync(d => DesignSums.OfPole(d, pole), window, designs, null, cancellationToken)
                .ConfigureAwait(false);
            await store.SaveRollupsAsync([.. Sum(new RollupSubject(RollupKind.Pole, pole), window, rollups)], cancellationToken).ConfigureAwait(false);
            await RestAsync(began, cancellationToken).ConfigureAwait(false);
        }

        PlaceRollups site = await maker.OfSiteAsync(window, designs, cancellationToken).ConfigureAwait(false);
        await store.SaveRollupsAsync([.. Sum(RollupSubject.Site, window, site)], cancellationToken).ConfigureAwait(false);
    }

    // As long as the work took: catching up leaves half of a core to polling, however long the service was away.
    private async Task RestAsync(long began, CancellationToken cancellationToken)
    {
        if (time.GetElapsedTime(began) is { Ticks: > 0 } took)
        {
            await Task.Delay(took, time, cancellationToken).ConfigureAwait(false);
        }
    }

    private async Task<bool> KnowsLessAsync(RollupBlock made, CancellationToken cancellationToken)
    {
        TimeSpan stored = TimeSpan.Zero;
        await foreach (RollupBlock block in store.ReadRollupsAsync(
            made.Subject, made.Step, made.Start, made.End, cancellationToken).ConfigureAwait(false))
        {
            stored += Known(block, made.Start, made.End);
        }

        // What is stored is rounded to a millisecond an interval.
        return Known(made, made.Start, made.End) < stored - TimeSpan.FromSeconds(1);
    }

    private static TimeSpan Known(RollupBlock block, DateTimeOffset from, DateTimeOffset to) => RollupCodec.Decode(block).SelectMany(l => l.Intervals)
        .Where(i => i.Start >= from && i.End <= to)
        .Aggregate(TimeSpan.Zero, (sum, i) => sum + i.Known.OfDraws + i.Known.OfCeilings);

    private static List<RollupBlock> Blocks(string pseId, RollupWindow window, ElementRollups made)
    {
        var blocks = new List<RollupBlock>();
        for (var step = 0; step < window.Steps.Count; step++)
        {
            var isDay = window.Steps[step] == RollupStep.Day;
            blocks.Add(RollupCodec.Encode(
                new RollupSubject(RollupKind.Ports, pseId), window.Steps[step], window.Start, window.End,
                [.. made.Ports.Select(p => Line(p.Key, p.Value.BySteps[step], isDay ? p.Value.Histogram : null))]));
        }

        blocks.AddRange(Sum(new RollupSubject(RollupKind.Switch, pseId), window, made.Sum));
        foreach (var (pole, rollups) in made.Poles)
        {
            blocks.AddRange(Sum(new RollupSubject(RollupKind.Pole, pole), window, rollups));
        }

        return blocks;
    }

    private static IEnumerable<RollupBlock> Sum(RollupSubject subject, RollupWindow window, PlaceRollups rollups) => window.Steps.Select((step, i) =>
        RollupCodec.Encode(subject, step, window.Start, window.End, [new RollupLine(0, 0, rollups.BySteps[i], null)]));

    private static RollupLine Line(PsePortRef port, IReadOnlyList<DrawRollup> intervals, DrawHistogram? histogram) =>
        new(port.Group, port.Port, intervals, histogram);
}
