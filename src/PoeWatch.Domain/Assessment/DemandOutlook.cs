using System.Collections.Immutable;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>The load case that asks most, and how much it asks at the PSE by the design.</summary>
/// <param name="IsLimit">True where the load of a run cannot be fed in that case and counts with the limit of its source.</param>
public sealed record WorstDemand(string LoadCaseId, Power Demand, bool IsLimit);

/// <summary>What the design asks for at one place, in the worst of the load cases of three spans.</summary>
public sealed record WorstDemands(WorstDemand Now, WorstDemand Today, WorstDemand Season);

/// <summary>
/// The worst that a design can still ask for, of everything from one port up to the site: of the figures of <see cref="DemandPlan"/> those whose load case can come. Worked
/// out from one assessment when asked for. Immutable and thread safe.
/// </summary>
public sealed class DemandOutlook
{
    private readonly DesignAnalysis _analysis;
    private readonly LoadCaseOutlook _outlook;

    internal DemandOutlook(DesignAnalysis analysis, LoadCaseOutlook outlook) => (_analysis, _outlook) = (analysis, outlook);

    /// <summary>Every level in every load case, whether it can come or not.</summary>
    public DemandPlan Plan => _analysis.Demands;

    /// <summary>A designed port; null where the design has nothing there.</summary>
    public WorstDemands? OfPort(PsePortRef port)
    {
        if (!_analysis.Ports.TryGetValue(port, out var design) || design.Feeds is not { } fed)
        {
            return null;
        }

        return _analysis.Design.CableRunByPort.TryGetValue(port, out var run)
            ? Worst(_analysis.Demands.CableRuns[run.Id], [run.Id])
            : Worst(i => new WorstDemand(_analysis.Cases[i].Id, design.Demand([i]) ?? design.Limit, !design.Cases[i].FeedByElement.ContainsKey(fed)));
    }

    /// <summary>The designed ports of a PSE group together; of another element with an agent all its ports.</summary>
    public WorstDemands OfGroup(string pseId, int group) =>
        _analysis.Groups.TryGetValue((pseId, group), out var known) ? Worst(known.Demand.Demand, RunsOf(pseId, group)) : OfPorts(_analysis.PortsOf(pseId, group));

    /// <summary>All designed ports of a switch, or of another element with an agent, together.</summary>
    public WorstDemands OfSwitch(string pseId) =>
        _analysis.Demands.Switches.TryGetValue(pseId, out var known) ? Worst(known, RunsOf(pseId, null)) : OfPorts(_analysis.PortsOf(pseId));

    /// <summary>The runs that serve a pole together, whole; null where it has none.</summary>
    public WorstDemands? OfPole(string poleId)
    {
        if (!_analysis.Design.CableRunsByPole.TryGetValue(poleId, out var runs))
        {
            return null;
        }

        ImmutableArray<string> ids = [.. runs.Select(run => run.Id)];
        return Worst(_analysis.Demands.Together(poleId, ids), ids);
    }

    /// <summary>All runs together, at the ports and injectors that feed them.</summary>
    public WorstDemands OfSite() => Worst(_analysis.Demands.Site, _analysis.CableRuns.Keys);

    private IEnumerable<string> RunsOf(string pseId, int? group) => DemandPlan.RunsOf(_analysis.Design, pseId, group).Select(run => run.Id);

    private WorstDemands Worst(PlaceDemand place, IEnumerable<string> runIds)
    {
        ImmutableArray<ImmutableArray<RunCase>> runs = [.. runIds.Select(id => _analysis.CableRuns[id])];
        return Worst(i => new WorstDemand(_analysis.Cases[i].Id, place.ByCase[i].Watts, runs.Any(run => run[i].DrawAtPse is null)));
    }

    // Outputs of one pass-through switch, or the one of an injector: they stand on one run, where nothing is lowered.
    private WorstDemands OfPorts(IEnumerable<PortDesign> ports)
    {
        ImmutableArray<PortDesign> fed = [.. ports.Where(port => port.Feeds is not null)];
        return Worst(i => new WorstDemand(
            _analysis.Cases[i].Id,
            fed.Aggregate(Power.Zero, (sum, port) => sum + (port.Demand([i]) ?? port.Limit)),
            fed.Any(port => port.Demand([i]) is null)));
    }

    private WorstDemands Worst(Func<int, WorstDemand> inCase)
    {
        return new WorstDemands(Among(_outlook.InForce), Among(_outlook.Today), Among(_outlook.Season));

        WorstDemand Among(ImmutableArray<int> cases) => cases.Select(inCase).MaxBy(worst => worst.Demand)!;
    }
}
