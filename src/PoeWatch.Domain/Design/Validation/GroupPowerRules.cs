using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Holds the demand of all runs of a PSE group against its budget, in every load case, and what it sets aside in its policy.</summary>
internal sealed class GroupPowerRules(DesignParts parts)
{
    private readonly WrittenFigures _figures = new(parts);

    public void Check()
    {
        var runs = parts.Runs.Where(run => run.Source is { InjectorId: null, Port: not null })
            .ToLookup(run => (run.Source.Port!.Value.PseId, run.Source.Port.Value.Group));
        foreach (var pse in parts.Switches.Values)
        {
            foreach (var group in pse.Groups.Values.Where(g => !parts.Problems.IsTainted(PseBuilder.GroupElement(pse.Id, g.Number))))
            {
                var known = runs[(pse.Id, group.Number)].Where(run => CableRunPowerRules.IsWhole(parts.Problems, run)).ToImmutableArray();
                CheckDemand(pse, group, known);
                CheckAllocation(pse, group, known);
                CheckSupplies(pse, group);
            }
        }
    }

    private void CheckDemand(PseSwitch pse, PseGroup group, ImmutableArray<CableRun> runs)
    {
        var usable = GroupLimits.Usable(group);
        var (worst, demand) = parts.LoadCases
            .Select(loadCase => (loadCase, Demand: runs.Aggregate(Power.Zero, (sum, run) => sum + DemandAtPse(run, loadCase))))
            .MaxBy(pair => pair.Demand);
        if (demand > usable)
        {
            Report(
                "group-budget-exceeded", pse, group,
                $"In load case '{worst.Id}' the ports of group {group.Number} need {demand} at the PSE, {usable} may be drawn.",
                "Move runs to another group or switch, feed some by injectors, or raise the budget with another supply.");
        }
    }

    private static Power DemandAtPse(CableRun run, LoadCase loadCase)
    {
        var flow = PowerFlowSolver.Solve(run, CableRunPowerRules.Demands(run, loadCase), OperatingMode.Expected);
        return Power.Min(flow.DrawAtPse ?? run.Source.Limit, run.Source.Limit); // More than its limit no port draws.
    }

    private void CheckAllocation(PseSwitch pse, PseGroup group, ImmutableArray<CableRun> runs)
    {
        if (group.Allocation == AllocationPolicy.ByDraw)
        {
            return;
        }

        var usable = GroupLimits.Usable(group);
        var allocated = runs.Aggregate(Power.Zero, (sum, run) => sum + Allocation(pse, group, run));
        if (allocated > usable)
        {
            var policy = group.Allocation == AllocationPolicy.ByClass ? "class" : "configured limit";
            Report(
                "group-allocation-exceeded", pse, group,
                $"Group {group.Number} sets the {policy} of each port aside: {allocated} together, {usable} may be allocated. The last ports would be denied.",
                "Lower classes or limits, allocate by draw, move runs, or raise the budget with another supply.");
        }
    }

    private static Power Allocation(PseSwitch pse, PseGroup group, CableRun run)
    {
        var port = pse.Ports[run.Source.Port!.Value];
        PoeClass? granted = run.Root.DeviceType is { } type
            ? type.RequestedClass < port.GrantableClass ? type.RequestedClass : port.GrantableClass
            : null;
        return PortReserve.Of(group.Allocation, granted, port.Type, port.Limit, drawAtPse: null);
    }

    private void CheckSupplies(PseSwitch pse, PseGroup group)
    {
        var together = SupplyPower.Together(group.Supplies);
        if (!group.Supplies.IsEmpty && group.Budget > together)
        {
            Report(
                "budget-above-supplies", pse, group, $"The budget of group {group.Number} is {group.Budget}, its supplies give {together} together.",
                "Correct the budget or the ratings of the supplies.");
        }
    }

    private void Report(string code, PseSwitch pse, PseGroup group, string message, string remedy) =>
        parts.Problems.Error(code, _figures.GroupBudget(pse.Id, group.Number), PseBuilder.GroupElement(pse.Id, group.Number), message, remedy);
}
