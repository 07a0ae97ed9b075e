using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>A run in one load case, by the design alone.</summary>
/// <param name="DrawAtPse">Demand at the PSE; null where it cannot be fed.</param>
/// <param name="PdShare">What arrives at the PDs of what the PSE gives, 0..1.</param>
/// <param name="Extra">What could still hang at the far end.</param>
/// <param name="FeedByElement">Watts into the segment that feeds an element, at its feeding end; empty where it cannot be fed.</param>
internal sealed record RunCase(
    LoadCase Case, Power? DrawAtPse, double PdShare, ExtraWatts Extra, FrozenDictionary<string, Power> FeedByElement);

/// <summary>A PSE port as the design sees it.</summary>
/// <param name="Limit">The most it gives, at the PSE.</param>
/// <param name="CableRunId">The run that it meters; null where none.</param>
/// <param name="Feeds">The element behind it; null where nothing is designed.</param>
/// <param name="DataSideInjectorId">Set where an injector stands behind it.</param>
/// <param name="Cases">Of the run that it stands in, in the order of the load cases; empty where nothing is designed.</param>
internal sealed record PortDesign(
    PsePortRef Port, Power Limit, string? CableRunId, string? Feeds, string? DataSideInjectorId, ImmutableArray<RunCase> Cases)
{
    /// <summary>The most that the design asks here in some load cases, at the PSE; null where nothing is designed or it cannot be fed.</summary>
    public Power? Demand(ImmutableArray<int> inForce) => Feeds is null
        ? null
        : inForce.Select(i => Cases[i]).Max(c => c.FeedByElement.TryGetValue(Feeds, out var feed) ? feed : (Power?)null);
}

/// <summary>
/// All that an assessment needs and that only a new design changes: every run solved in every load case. Built once for a design and handed to every
/// assessment. Immutable and thread safe.
/// </summary>
public sealed class DesignAnalysis
{
    // Live watts come from the real cable at the real voltage, so they are held against what is to be expected; what the standard guarantees is
    // the check's business when the design is taken.
    internal const OperatingMode Mode = OperatingMode.Expected;

    private readonly ILookup<(string PseId, int Group), PortDesign> _portsByGroup;
    private readonly ILookup<string, PortDesign> _portsByPse;
    private readonly FrozenDictionary<string, RunSource> _sources;

    private DesignAnalysis(DesignModel design)
    {
        Design = design;
        Cases = DesignDemands.CasesOf(design);
        Demands = DemandPlan.Of(design, Mode);
        Calendar = new LoadCaseCalendar(Cases, design.Site, design.Conditions, ConditionReckoner.ColdBelow(design));
        CableRuns = design.CableRuns.Values.ToFrozenDictionary(run => run.Id, run => Solve(design, run, Cases), StringComparer.Ordinal);
        Ports = PortsOf(design, CableRuns).ToFrozenDictionary(p => p.Port);
        _portsByGroup = Ports.Values.ToLookup(p => (p.Port.PseId, p.Port.Group));
        Groups = design.Switches.Values.SelectMany(pse => pse.Groups.Values, (pse, group) => GroupDesign.Of(this, pse, group))
            .ToFrozenDictionary(g => (g.Pse.Id, g.Group.Number));
        _portsByPse = Ports.Values.ToLookup(p => p.Port.PseId, StringComparer.Ordinal);
        _sources = design.CableRuns.Values
            .SelectMany(run => run.Root.SelfAndBelow().Select(place => (place.ElementId, run.Source)))
            .ToFrozenDictionary(p => p.ElementId, p => p.Source, StringComparer.Ordinal);
    }

    public DesignModel Design { get; }

    public LoadCaseCalendar Calendar { get; }

    /// <summary>What every level asks for, with who pages and what coincides: the one place where demand is added up.</summary>
    public DemandPlan Demands { get; }

    internal ImmutableArray<LoadCase> Cases { get; }

    internal FrozenDictionary<string, ImmutableArray<RunCase>> CableRuns { get; }

    internal FrozenDictionary<PsePortRef, PortDesign> Ports { get; }

    /// <summary>PSE groups of switches.</summary>
    internal FrozenDictionary<(string PseId, int Group), GroupDesign> Groups { get; }

    public static DesignAnalysis Of(DesignModel design) => new(design);

    /// <summary>The designed ports of one PSE group.</summary>
    internal IEnumerable<PortDesign> PortsOf(string pseId, int group) => _portsByGroup[(pseId, group)];

    /// <summary>The designed ports of a switch, managed injector or managed pass-through switch.</summary>
    internal IEnumerable<PortDesign> PortsOf(string pseId) => _portsByPse[pseId];

    /// <summary>What feeds the run that an element stands in; null where it stands in none.</summary>
    internal RunSource? Source(string elementId) => _sources.GetValueOrDefault(elementId);

    private static ImmutableArray<RunCase> Solve(DesignModel design, CableRun run, ImmutableArray<LoadCase> cases)
    {
        // Most load cases say nothing of most devices: what is asked twice of a run is solved once.
        var solved = new List<(ImmutableArray<Power> Asked, RunCase Result)>();
        var results = ImmutableArray.CreateBuilder<RunCase>(cases.Length);
        foreach (var loadCase in cases)
        {
            ImmutableArray<Power> asked =
                [.. CaseDemands.Of(run, loadCase, design.Schedules).SelectMany(demand => run.Devices.Select(d => demand.AtDevices[d.Id]))];
            var same = solved.FindIndex(s => s.Asked.SequenceEqual(asked));
            if (same < 0)
            {
                solved.Add((asked, Solve(design, run, loadCase)));
                same = solved.Count - 1;
            }

            results.Add(solved[same].Result with { Case = loadCase });
        }

        return results.MoveToImmutable();
    }

    private static RunCase Solve(DesignModel design, CableRun run, LoadCase loadCase)
    {
        var solved = WorstLoadCase.For(design, run, [loadCase], Mode);
        var flow = solved.Flow;
        var share = flow is { DrawAtPse: { Watts: > 0 } draw, CableLoss: { } loss } ? (draw - loss) / draw : 1.0;
        var feeds = flow.Points.ToFrozenDictionary(p => p.Key, p => p.Value.DrawAtInput + p.Value.SegmentLoss, StringComparer.Ordinal);
        return new RunCase(loadCase, flow.DrawAtPse, share, solved.Extra, feeds);
    }

    private static IEnumerable<PortDesign> PortsOf(DesignModel design, FrozenDictionary<string, ImmutableArray<RunCase>> runs)
    {
        foreach (var port in design.Switches.Values.SelectMany(s => s.Ports.Values))
        {
            yield return Sourced(port.Ref, port.Limit);
        }

        foreach (var injector in design.Injectors.Values.Where(i => i.AgentPort is not null))
        {
            yield return Sourced(injector.AgentPort!.Value, injector.Rating);
        }

        foreach (var (run, place) in design.CableRuns.Values.SelectMany(r => r.Root.SelfAndBelow().Select(n => (r, n))))
        {
            if (place.PassThrough is not { Agent: not null } passThrough)
            {
                continue;
            }

            for (var output = 1; output <= passThrough.OutputCount; output++)
            {
                var child = place.Children.FirstOrDefault(c => c.Incoming.From.Output == output);
                yield return new PortDesign(
                    new PsePortRef(passThrough.Id, 1, output), passThrough.OutputLimit, null, child?.ElementId, null, runs[run.Id]);
            }
        }

        PortDesign Sourced(PsePortRef port, Power limit)
        {
            var run = design.CableRunByPort.GetValueOrDefault(port);
            return new PortDesign(
                port, limit, run?.Id, run?.Root.ElementId, design.DataSidePorts.GetValueOrDefault(port), run is null ? [] : runs[run.Id]);
        }
    }
}
