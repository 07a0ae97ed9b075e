using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Holds the demand of all runs of a PSE group against its budget, in every load case, and what it sets aside in its policy.</summary>
internal sealed class GroupPowerRules(DesignParts parts, GroupDemands demands)
{
    private readonly WrittenFigures _figures = new(parts);

    public void Check()
    {
        foreach (var pse in parts.Switches.Values)
        {
            foreach (var group in pse.Groups.Values.Where(g => !parts.Problems.IsTainted(PseBuilder.GroupElement(pse.Id, g.Number))))
            {
                CheckDemand(pse, group);
                CheckAllocation(pse, group);
                CheckSupplies(pse, group);
            }
        }
    }

    private void CheckDemand(PseSwitch pse, PseGroup group)
    {
        var usable = GroupLimits.Usable(group);
        var (worst, demand) = demands.Worst((pse.Id, group.Number));
        var stages = "";
        var starts = demands.ColdStarts(pse, group).ToList();
        if (starts.MaxBy(start => start.Demand.WorstBoot.Watts) is { } boot && boot.Demand.WorstBoot.Watts > Power.Max(demand, usable))
        {
            (worst, demand, stages) = (boot.Case, boot.Demand.WorstBoot.Watts, $" {boot.Stages.Sentence}");
        }

        starts.ForEach(start => WarnOfInrush(pse, group, start));
        if (demand > usable)
        {
            Report(
                "group-budget-exceeded", pse, group,
                $"In load case '{worst.Id}' the ports of group {group.Number} need {demand} at the PSE, {usable} may be drawn.{stages}",
                "Move runs to another group or switch, feed some by injectors, or raise the budget with another supply.");
        }
    }

    // Over in 75 ms at most: a warning, for what a supply makes of it is its data sheet's matter.
    private void WarnOfInrush(PseSwitch pse, PseGroup group, GroupColdStart start)
    {
        var limit = ColdStart.SuppliesOf(group);
        var worst = start.Demand.WorstInrush;
        if (worst.Watts > limit)
        {
            var at = _figures.GroupBudget(pse.Id, group.Number);
            parts.Problems.Warning(
                "cold-start-inrush", at.At, PseBuilder.GroupElement(pse.Id, group.Number), at.Value,
                $"In load case '{start.Case.Id}' {worst.StartingCount} ports of group {group.Number} start at once: up to {worst.Watts} for a moment, {limit} are there. {start.Stages.Sentence}",
                "Have the switch start fewer ports at a time and write 'starts-at-once' and 'start-interval-s', or use larger supplies.");
        }
    }

    private void CheckAllocation(PseSwitch pse, PseGroup group)
    {
        if (group.Allocation == AllocationPolicy.ByDraw)
        {
            return;
        }

        var usable = GroupLimits.Usable(group);
        var allocated = demands.Allocated(pse, group);
        if (allocated > usable)
        {
            var policy = group.Allocation == AllocationPolicy.ByClass ? "class" : "configured limit";
            Report(
                "group-allocation-exceeded", pse, group,
                $"Group {group.Number} sets the {policy} of each port aside: {allocated} together, {usable} may be allocated. The last ports would be denied.",
                "Lower classes or limits, allocate by draw, move runs, or raise the budget with another supply.");
        }
    }

    private void CheckSupplies(PseSwitch pse, PseGroup group)
    {
        var together = SupplyPower.ForPorts(SupplyPower.Together(group.Supplies), group.OwnDraw);
        if (!group.Supplies.IsEmpty && group.Budget > together)
        {
            var own = group.OwnDraw > Power.Zero ? $" after the {group.OwnDraw} that the switch needs itself" : "";
            Report(
                "budget-above-supplies", pse, group, $"The budget of group {group.Number} is {group.Budget}, its supplies give {together} together{own}.",
                "Correct the budget, the ratings of the supplies or the switch's own draw.");
        }
    }

    private void Report(string code, PseSwitch pse, PseGroup group, string message, string remedy) =>
        parts.Problems.Error(code, _figures.GroupBudget(pse.Id, group.Number), PseBuilder.GroupElement(pse.Id, group.Number), message, remedy);
}
