using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Demands;

/// <summary>What a place needs in one load case. Immutable.</summary>
/// <param name="Paging">Who pages worst for that place; nobody where nobody does or it changes nothing.</param>
public sealed record CaseWatts(LoadCase Case, Power Watts, PagingChoice Paging);

/// <summary>What a place needs in every load case, in the order of the design. Immutable.</summary>
public sealed record PlaceDemand(string Id, ImmutableArray<CaseWatts> ByCase)
{
    /// <summary>The case that asks most; of equal ones the first.</summary>
    public CaseWatts Worst => ByCase.MaxBy(watts => watts.Watts)!;
}

/// <summary>A PSE group: its demand, and its cold starts.</summary>
public sealed record GroupDemand(string PseId, int Group, PlaceDemand Demand, ImmutableArray<GroupColdStart> ColdStarts);

/// <summary>
/// Designed demand in every load case: of each device at its input; of each run at its source; of each pole at the inputs of what stands on it; of each group, switch and the site at the sources. Runs and
/// poles without coincidence, group, switch and site with it. Of paging to one or one group the worst for that very place. Immutable and thread safe.
/// </summary>
public sealed class DemandPlan
{
    private readonly FrozenDictionary<string, ImmutableArray<RunDemand>> _shared;

    private DemandPlan(DesignModel design)
    {
        var cases = DesignDemands.CasesOf(design);
        Cases = cases;
        var solvers = design.CableRuns.Values.ToDictionary(run => run.Id, run => new RunDemandSolver(run, design.Schedules), StringComparer.Ordinal);
        _shared = solvers.ToFrozenDictionary(s => s.Key, s => cases.Select(s.Value.Coincident).ToImmutableArray(), StringComparer.Ordinal);
        Devices = ById(design.Devices.Values.Select(device => new PlaceDemand(
            device.Id,
            [.. cases.Select(c => new CaseWatts(c, DesignDemands.Of(design.DeviceTypes[device.TypeId], c), PagingChoice.Nobody))])));
        CableRuns = ById(solvers.Select(s => Place(s.Key, cases, i => [s.Value.Simultaneous(cases[i])])));
        Poles = ById(PoleDemands.Of(design, cases));
        Groups = [.. design.Switches.Values.OrderBy(pse => pse.Id, StringComparer.Ordinal).SelectMany(pse => pse.Groups.Values.Select(g => Group(design, pse, g)))];
        Switches = ById(design.Switches.Keys.Select(id => Level(id, RunsOf(design, id, null))));
        Site = Level(design.Site.Name, design.CableRuns.Values);
    }

    public ImmutableArray<LoadCase> Cases { get; }

    public FrozenDictionary<string, PlaceDemand> Devices { get; }

    public FrozenDictionary<string, PlaceDemand> CableRuns { get; }

    public FrozenDictionary<string, PlaceDemand> Poles { get; }

    public ImmutableArray<GroupDemand> Groups { get; }

    public FrozenDictionary<string, PlaceDemand> Switches { get; }

    public PlaceDemand Site { get; }

    public static DemandPlan Of(DesignModel design)
    {
        ArgumentNullException.ThrowIfNull(design);
        return new DemandPlan(design);
    }

    /// <summary>Runs that the ports of a switch, or of one of its groups, feed themselves.</summary>
    public static IEnumerable<CableRun> RunsOf(DesignModel design, string pseId, int? group)
    {
        ArgumentNullException.ThrowIfNull(design);
        return design.CableRuns.Values.Where(run => run.Source is { InjectorId: null, Port: { } port } && port.PseId == pseId && (group is null || port.Group == group));
    }

    private GroupDemand Group(DesignModel design, PseSwitch pse, PseGroup group)
    {
        ImmutableArray<CableRun> runs = [.. RunsOf(design, pse.Id, group.Number)];
        return new GroupDemand(
            pse.Id, group.Number, Level(FormattableString.Invariant($"{pse.Id}:{group.Number}"), runs),
            [.. ColdStartOfGroup.CasesOf(Cases).Select(c => ColdStartOfGroup.Of(pse, group, runs, c, design.Schedules))]);
    }

    private PlaceDemand Level(string id, IEnumerable<CableRun> runs)
    {
        ImmutableArray<ImmutableArray<RunDemand>> shared = [.. runs.Select(run => _shared[run.Id])];
        return Place(id, Cases, i => shared.Select(demands => demands[i]));
    }

    private static PlaceDemand Place(string id, ImmutableArray<LoadCase> cases, Func<int, IEnumerable<RunDemand>> demandsIn) => new(
        id,
        [
            .. cases.Select((loadCase, i) =>
            {
                var (watts, paging) = demandsIn(i).Aggregate(new LevelSum(), (sum, demand) => sum.Add(demand.Quiet, demand.ByChoice)).Worst();
                return new CaseWatts(loadCase, watts, paging);
            }),
        ]);

    private static FrozenDictionary<string, PlaceDemand> ById(IEnumerable<PlaceDemand> places) =>
        places.ToFrozenDictionary(place => place.Id, StringComparer.Ordinal);
}
