using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Monitoring.Alarming;

/// <summary>Reads out of the rollups, and out of the readings for the last hours, what the rules would remember of each port, had the service never stopped. Thread safe.</summary>
public sealed class TrendHistory(IRollupStore rollups, RollupMaker maker, DesignTimeline designs, IConditionStore conditions)
{
    /// <summary>What is not rolled up yet is made from the readings, but no more than this: readings are many.</summary>
    private static readonly TimeSpan UnrolledMost = TimeSpan.FromDays(2);

    // Words that were said before the time that is read, and may still have counted in it.
    private static readonly TimeSpan WordsBefore = TimeSpan.FromDays(31);

    /// <summary>True where so much is rolled up that the rest can be read.</summary>
    public async Task<bool> IsReadyAsync(DateTimeOffset to, CancellationToken cancellationToken) =>
        await rollups.ReadRollupFrontierAsync(cancellationToken).ConfigureAwait(false) is { Hours: { } hours } && hours >= to - UnrolledMost;

    /// <summary>Memories of all ports up to the last quarter-hour that was over at <paramref name="to"/>.</summary>
    /// <exception cref="StoreException">The history cannot be read.</exception>
    public async Task<IReadOnlyDictionary<PsePortRef, PortMemory>> ReadAsync(DesignModel design, DateTimeOffset to, CancellationToken cancellationToken)
    {
        var end = new DateTimeOffset(to.UtcTicks / RollupSteps.QuarterHour.Ticks * RollupSteps.QuarterHour.Ticks, TimeSpan.Zero);
        DateTimeOffset from = new DateTimeOffset(end.UtcDateTime.Date, TimeSpan.Zero).AddDays(-PortMemory.DaysKept);
        var demands = new PastDemands(
            DesignAnalysis.Of(design), await conditions.ReadPostedAsync(from - WordsBefore, to, cancellationToken).ConfigureAwait(false));
        var frontier = (await rollups.ReadRollupFrontierAsync(cancellationToken).ConfigureAwait(false)).Hours ?? end - UnrolledMost;
        var memories = new Dictionary<PsePortRef, PortMemory>();
        foreach (var pseId in design.Agents.Keys)
        {
            var subject = new RollupSubject(RollupKind.Ports, pseId);
            await foreach (RollupBlock block in rollups.ReadRollupsAsync(subject, RollupStep.QuarterHour, from, end, cancellationToken).ConfigureAwait(false))
            {
                foreach (RollupLine line in RollupCodec.DecodeWithoutHistograms(block))
                {
                    Recall(memories, new PsePortRef(pseId, line.Group, line.Port), line.Intervals.Where(i => i.Start >= from && i.End <= end), demands);
                }
            }

            await RecallUnrolledAsync(memories, pseId, frontier, end, demands, cancellationToken).ConfigureAwait(false);
        }

        return memories;
    }

    private async Task RecallUnrolledAsync(
        Dictionary<PsePortRef, PortMemory> memories, string pseId, DateTimeOffset from, DateTimeOffset end, PastDemands demands, CancellationToken cancellationToken)
    {
        if (from >= end)
        {
            return;
        }

        var periods = await designs.ReadAsync(from, end, cancellationToken).ConfigureAwait(false);
        var window = RollupWindow.OfBounds(RollupStep.QuarterHour.Bounds(from, end));
        ElementRollups made = await maker.OfElementAsync(pseId, window, periods, PolePlan.Of([]), cancellationToken).ConfigureAwait(false);
        foreach (var (port, rolled) in made.Ports)
        {
            Recall(memories, port, rolled.BySteps[0], demands);
        }
    }

    private static void Recall(Dictionary<PsePortRef, PortMemory> memories, PsePortRef port, IEnumerable<DrawRollup> quarters, PastDemands demands)
    {
        if (!memories.TryGetValue(port, out PortMemory? memory))
        {
            memories.Add(port, memory = new PortMemory());
        }

        foreach (DrawRollup quarter in quarters)
        {
            if (quarter.Mean is { } mean)
            {
                // A history holds what a PD said at its own end; held against the design it counts at the PSE.
                var share = quarter.Provenance == Provenance.ReportedByPd ? demands.PdShareOf(port, quarter.Start) : 1.0;
                var off = quarter.Known.Of(Provenance.Off);
                var on = quarter.Known.OfDraws - off;
                var watts = on > TimeSpan.Zero ? mean.Watts * (quarter.Known.OfDraws / on) / share : 0;
                memory.Recall(quarter.Start, watts, on.TotalSeconds, demands.WattsOf(port, quarter.Start), off.TotalSeconds);
            }
        }
    }
}
