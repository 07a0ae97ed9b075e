using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>A segment of the design with a meter at each end: a PSE port that somebody polls, and a pass-through switch that is polled itself. Immutable.</summary>
/// <param name="CableRunId">The run that it is a part of.</param>
/// <param name="FedBy">Port that feeds it and meters what goes in.</param>
/// <param name="FarOutputs">Outputs of the pass-through switch at its end: what they give together is metered there.</param>
/// <param name="AtPse">Volts that the design expects at the feeding end.</param>
/// <param name="LongerPeriod">The longer of both poll periods.</param>
public sealed record MeteredSegment(
    string CableRunId, CableSegment Segment, PsePortRef FedBy, ImmutableArray<PsePortRef> FarOutputs, Voltage AtPse, TimeSpan LongerPeriod)
{
    // How far a loop may be from the design's without anything being wrong: gauges, contacts and cords differ, a tester less so. Common practice, no source.
    private static readonly Ratio s_ofTester = Ratio.FromPercent(5);
    private static readonly Ratio s_ofFigures = Ratio.FromPercent(15);
    private static readonly TimeSpan s_shortPeriod = TimeSpan.FromMinutes(1);

    /// <summary>Id of the pass-through switch at its end.</summary>
    public string FarId => Segment.To;

    /// <summary>Loop over the powered pairs by the design, at the temperature that the design reckons with: from a tester's figure where there is one.</summary>
    public Resistance Designed => CableResistance.Of(Segment, OperatingMode.Expected);

    /// <summary>True where somebody measured the loop and wrote it into the design.</summary>
    public bool IsDesignMeasured => Segment.MeasuredLoop is not null;

    /// <summary>The most that a sound cable of this design may have.</summary>
    public Resistance SoundMost => Designed * (1.0 + (IsDesignMeasured ? s_ofTester : s_ofFigures).Fraction);

    /// <summary>
    /// Readings of both ends further apart than this are not of one moment. With equal periods of a minute or less one of two neighbours is always near enough; with longer ones
    /// only ends that are polled near each other are paired, for within minutes loads drift, and that would pass for copper.
    /// </summary>
    public TimeSpan NearestMost => ((LongerPeriod < s_shortPeriod ? LongerPeriod : s_shortPeriod) / 2) + TimeSpan.FromSeconds(5);

    /// <summary>Samples further apart belong to two stretches.</summary>
    public TimeSpan LongestGap => LongerPeriod * 3;

    /// <summary>All of a design, in the order of runs and places.</summary>
    public static ImmutableArray<MeteredSegment> Of(DesignModel design) => [.. design.CableRuns.Values.SelectMany(run => Of(design, run))];

    private static IEnumerable<MeteredSegment> Of(DesignModel design, CableRun run)
    {
        if (run.Source.Port is { } source && Between(design, run, run.Root, source, run.Source.NominalVoltage) is { } first)
        {
            yield return first;
        }

        foreach (var place in run.Root.SelfAndBelow())
        {
            // Where outputs carry the volts that arrive, those fall with the load: no current can be told from the watts there.
            if (place.PassThrough is not { Agent: not null, OutputVoltage: { } volts } feeder)
            {
                continue;
            }

            foreach (var child in place.Children)
            {
                if (Between(design, run, child, new PsePortRef(feeder.Id, 1, child.Incoming.From.Output), volts) is { } next)
                {
                    yield return next;
                }
            }
        }
    }

    private static MeteredSegment? Between(DesignModel design, CableRun run, FlowNode far, PsePortRef fedBy, Voltage volts) =>
        far.PassThrough is not { Agent: not null } passThrough
        || !design.Agents.TryGetValue(fedBy.PseId, out var near) || !design.Agents.TryGetValue(passThrough.Id, out var other)
            ? null
            : new MeteredSegment(
                run.Id, far.Incoming, fedBy, [.. Enumerable.Range(1, passThrough.OutputCount).Select(output => new PsePortRef(passThrough.Id, 1, output))], volts,
                near.PollPeriod > other.PollPeriod ? near.PollPeriod : other.PollPeriod);
}
