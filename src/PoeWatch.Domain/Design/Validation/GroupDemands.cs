using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>What the runs of each PSE group ask for in each load case, at the PSE. Runs with a refused figure are passed over. Solved once.</summary>
internal sealed class GroupDemands
{
    private readonly ImmutableArray<LoadCase> _cases;
    private readonly ILookup<(string PseId, int Group), CableRun> _runs;
    private readonly Dictionary<(string PseId, int Group), Power[]> _solved = [];

    public GroupDemands(DesignParts parts)
    {
        _cases = [.. parts.LoadCases];
        _runs = parts.Runs
            .Where(run => run.Source is { InjectorId: null, Port: not null } && CableRunPowerRules.IsWhole(parts.Problems, run))
            .ToLookup(run => (run.Source.Port!.Value.PseId, run.Source.Port.Value.Group));
    }

    /// <summary>The heaviest load case of some groups together.</summary>
    public (LoadCase Case, Power Demand) Worst(params IEnumerable<(string PseId, int Group)> groups)
    {
        var byGroup = groups.Select(ByCase).ToList();
        return _cases.Select((loadCase, i) => (loadCase, Power.FromWatts(byGroup.Sum(demands => demands[i].Watts)))).MaxBy(pair => pair.Item2);
    }

    public Power In(LoadCase loadCase, string pseId, int group) => ByCase((pseId, group))[_cases.IndexOf(loadCase)];

    /// <summary>What the group sets aside for its designed ports where that does not follow the draw.</summary>
    public Power Allocated(PseSwitch pse, PseGroup group) =>
        _runs[(pse.Id, group.Number)].Aggregate(Power.Zero, (sum, run) => sum + Allocation(pse, group, run));

    private Power[] ByCase((string PseId, int Group) group)
    {
        if (!_solved.TryGetValue(group, out var demands))
        {
            var runs = _runs[group].ToList();
            demands = [.. _cases.Select(loadCase => Power.FromWatts(runs.Sum(run => DemandAtPse(run, loadCase).Watts)))];
            _solved.Add(group, demands);
        }

        return demands;
    }

    private static Power DemandAtPse(CableRun run, LoadCase loadCase)
    {
        var flow = PowerFlowSolver.Solve(run, CableRunPowerRules.Demands(run, loadCase), OperatingMode.Expected);
        return Power.Min(flow.DrawAtPse ?? run.Source.Limit, run.Source.Limit); // More than its limit no port draws.
    }

    private static Power Allocation(PseSwitch pse, PseGroup group, CableRun run)
    {
        var port = pse.Ports[run.Source.Port!.Value];
        PoeClass? granted = run.Root.DeviceType is { } type
            ? type.RequestedClass < port.GrantableClass ? type.RequestedClass : port.GrantableClass
            : null;
        return PortReserve.Of(group.Allocation, granted, port.Type, port.Limit, drawAtPse: null);
    }
}
