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
    private readonly FrozenDictionary<string, ImmutableArray<RunDemand>> _whole;
    private readonly FrozenDictionary<(string PseId, int Group), GroupDemand> _groups;

    private DemandPlan(DesignModel design, OperatingMode mode)
    {
        var cases = DesignDemands.CasesOf(design);
        Cases = cases;
        var solvers = design.CableRuns.Values.ToDictionary(run => run.Id, run => new RunDemandSolver(run, design.Schedules, mode), StringComparer.Ordinal);
        _shared = solvers.ToFrozenDictionary(s => s.Key, s => cases.Select(s.Value.Coincident).ToImmutableArray(), StringComparer.Ordinal);
        _whole = solvers.ToFrozenDictionary(s => s.Key, s => cases.Select(s.Value.Simultaneous).ToImmutableArray(), StringComparer.Ordinal);
        Devices = ById(design.Devices.Values.Select(device => new PlaceDemand(
            device.Id,
            [.. cases.Select(c => new CaseWatts(c, DesignDemands.Of(design.DeviceTypes[device.TypeId], c), PagingChoice.Nobody))])));
        CableRuns = ById(_whole.Select(run => Place(run.Key, cases, i => [run.Value[i]])));
        Poles = ById(PoleDemands.Of(design, cases));
        Groups = [.. design.Switches.Values.OrderBy(pse => pse.Id, StringComparer.Ordinal).SelectMany(pse => pse.Groups.Values.Select(g => Group(design, pse, g, mode)))];
        _groups = Groups.ToFrozenDictionary(group => (group.PseId, group.Group));
        Switches = ById(design.Switches.Keys.Select(id => Staggered(Level(id, RunsOf(design, id, null)), Groups.Where(g => g.PseId == id))));
        Site = OfSite(design);
        SiteAtDevices = AtDevices(design);
    }

    public ImmutableArray<LoadCase> Cases { get; }

    public FrozenDictionary<string, PlaceDemand> Devices { get; }

    public FrozenDictionary<string, PlaceDemand> CableRuns { get; }

    public FrozenDictionary<string, PlaceDemand> Poles { get; }

    public ImmutableArray<GroupDemand> Groups { get; }

    public FrozenDictionary<string, PlaceDemand> Switches { get; }

    public PlaceDemand Site { get; }

    /// <summary>What all devices take at their inputs while the site is at its demand: the same share struck, the same speakers paging.</summary>
    public PlaceDemand SiteAtDevices { get; }

    /// <param name="mode">Expected by default: that every cable is at the standard's worst at once would be reckoned for nothing.</param>
    public static DemandPlan Of(DesignModel design, OperatingMode mode = OperatingMode.Expected)
    {
        ArgumentNullException.ThrowIfNull(design);
        return new DemandPlan(design, mode);
    }

    /// <summary>A PSE group of a switch of the design.</summary>
    public GroupDemand Group(string pseId, int group) => _groups[(pseId, group)];

    /// <summary>Some runs together at their sources, all that can be true at once; of paging to one or one group the worst for them together.</summary>
    public PlaceDemand Together(string id, IEnumerable<string> runIds)
    {
        ImmutableArray<ImmutableArray<RunDemand>> whole = [.. runIds.Select(run => _whole[run])];
        return Place(id, Cases, i => whole.Select(demands => demands[i]));
    }

    /// <summary>Runs that the ports of a switch, or of one of its groups, feed themselves.</summary>
    public static IEnumerable<CableRun> RunsOf(DesignModel design, string pseId, int? group)
    {
        ArgumentNullException.ThrowIfNull(design);
        return design.CableRuns.Values.Where(run => run.Source is { InjectorId: null, Port: { } port } && port.PseId == pseId && (group is null || port.Group == group));
    }

    private GroupDemand Group(DesignModel design, PseSwitch pse, PseGroup group, OperatingMode mode)
    {
        ImmutableArray<CableRun> runs = [.. RunsOf(design, pse.Id, group.Number)];
        ImmutableArray<GroupColdStart> starts = [.. ColdStartOfGroup.CasesOf(Cases).Select(c => ColdStartOfGroup.Of(pse, group, runs, c, design.Schedules, mode))];
        var level = Level(FormattableString.Invariant($"{pse.Id}:{group.Number}"), runs);
        return new GroupDemand(pse.Id, group.Number, Starting(level, loadCase => starts.First(s => s.Case.Id == loadCase.Id).Demand.WorstBoot.Watts), starts);
    }

    private PlaceDemand OfSite(DesignModel design)
    {
        ImmutableArray<CableRun> besides = [.. design.CableRuns.Values.Where(run => run.Source.InjectorId is not null || run.Source.Port is null)];
        return Staggered(Level(design.Site.Name, design.CableRuns.Values), Groups, Level("", besides));
    }

    /// <summary>In a cold start a level never needs more than its groups as they start, and what hangs besides them.</summary>
    private PlaceDemand Staggered(PlaceDemand level, IEnumerable<GroupDemand> groups, PlaceDemand? besides = null)
    {
        var within = groups.ToList();
        return Starting(level, loadCase => within.Select(g => In(g.Demand, loadCase)).Aggregate(besides is null ? Power.Zero : In(besides, loadCase), static (sum, next) => sum + next));
    }

    private static Power In(PlaceDemand place, LoadCase loadCase) => place.ByCase.First(c => c.Case.Id == loadCase.Id).Watts;

    private static PlaceDemand Starting(PlaceDemand level, Func<LoadCase, Power> atStart) => level with
    {
        ByCase =
        [
            .. level.ByCase.Select(c => ColdStartOfGroup.IsColdStart(c.Case) ? c with { Watts = Power.Min(c.Watts, atStart(c.Case)) } : c),
        ],
    };

    private PlaceDemand AtDevices(DesignModel design) => new(
        Site.Id,
        [
            .. Site.ByCase.Select(site => site with
            {
                Watts = Power.FromWatts(design.CableRuns.Values
                    .Where(run => !CaseDemands.IsOff(run, site.Case, design.Schedules))
                    .Sum(run => CaseDemands.Of(run, site.Case, design.Schedules, PagingAtSite(site), Strikes.AsSharesSay).AtDevices.Values.Sum(w => w.Watts))),
            }),
        ]);

    // Paging to all leaves no choice to name.
    private static PagingChoice PagingAtSite(CaseWatts site) =>
        PagingChoice.ConditionOf(site.Case) == LoadCondition.PagingAll ? PagingChoice.Everybody : site.Paging;

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
