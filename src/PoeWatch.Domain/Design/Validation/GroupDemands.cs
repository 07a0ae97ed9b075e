using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>
/// What the runs of each PSE group ask for in each load case, at the PSE, as <see cref="DemandPlan"/> reckons it. Runs with a refused figure are passed over. Solved once.
/// </summary>
internal sealed class GroupDemands
{
    private readonly DesignParts _parts;
    private readonly ImmutableArray<LoadCase> _cases;
    private readonly ILookup<(string PseId, int Group), CableRun> _runs;
    private readonly Dictionary<(string PseId, int Group), ImmutableArray<ImmutableArray<RunDemand>>> _solved = [];

    public GroupDemands(DesignParts parts)
    {
        _parts = parts;
        _cases = [.. parts.LoadCases];
        _runs = parts.Runs
            .Where(run => run.Source is { InjectorId: null, Port: not null } && CableRunPowerRules.IsWhole(parts.Problems, run))
            .ToLookup(run => (run.Source.Port!.Value.PseId, run.Source.Port.Value.Group));
    }

    /// <summary>The heaviest load case of some groups together. Cold starts, which pass, are left out unless there is nothing else.</summary>
    public (LoadCase Case, Power Demand) Worst(params IEnumerable<(string PseId, int Group)> groups)
    {
        var given = groups.ToList();
        var lasting = Enumerable.Range(0, _cases.Length).Where(i => !ColdStartOfGroup.IsColdStart(_cases[i])).ToList();
        return (lasting.Count > 0 ? lasting : [.. Enumerable.Range(0, _cases.Length)])
            .Select(i => (_cases[i], In(i, given)))
            .MaxBy(pair => pair.Item2);
    }

    public Power In(LoadCase loadCase, string pseId, int group) => In(_cases.IndexOf(loadCase), [(pseId, group)]);

    /// <summary>The cold starts that the design names.</summary>
    public IEnumerable<GroupColdStart> ColdStarts(PseSwitch pse, PseGroup group) => _cases.Where(ColdStartOfGroup.IsColdStart)
        .Select(c => ColdStartOfGroup.Of(pse, group, _runs[(pse.Id, group.Number)], c, _parts.Schedules));

    /// <summary>What the group sets aside for its designed ports where that does not follow the draw.</summary>
    public Power Allocated(PseSwitch pse, PseGroup group) =>
        _runs[(pse.Id, group.Number)].Aggregate(Power.Zero, (sum, run) => sum + Allocation(pse, group, run));

    private Power In(int loadCase, IEnumerable<(string PseId, int Group)> groups) => groups.SelectMany(group => Solved(group))
        .Aggregate(new LevelSum(), (sum, run) => sum.Add(run[loadCase].Quiet, run[loadCase].ByChoice)).Worst().Watts;

    private ImmutableArray<ImmutableArray<RunDemand>> Solved((string PseId, int Group) group)
    {
        if (!_solved.TryGetValue(group, out var runs))
        {
            runs = [.. _runs[group].Select(run => new RunDemandSolver(run, _parts.Schedules)).Select(solver => _cases.Select(solver.Coincident).ToImmutableArray())];
            _solved.Add(group, runs);
        }

        return runs;
    }

    private static Power Allocation(PseSwitch pse, PseGroup group, CableRun run)
    {
        var port = pse.Ports[run.Source.Port!.Value];
        return PortReserve.Of(group.Allocation, FedPort.Granted(port, run), port.Type, port.Limit, drawAtPse: null);
    }
}
