using System.Globalization;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>
/// Warns where the design asks more than is left when something fails: a supply of an N+1 group, or the mains before a UPS. No error: everything runs
/// while nothing fails.
/// </summary>
internal sealed class SupplyRules(DesignParts parts, GroupDemands demands)
{
    private readonly WrittenFigures _figures = new(parts);

    public void Check()
    {
        foreach (var pse in parts.Switches.Values)
        {
            foreach (var group in pse.Groups.Values.Where(g => g is { Redundancy: SupplyRedundancy.NPlusOne, Supplies.Length: > 1 }))
            {
                if (!parts.Problems.IsTainted(PseBuilder.GroupElement(pse.Id, group.Number)))
                {
                    CheckLoss(pse, group);
                }
            }
        }

        foreach (var ups in parts.UpsUnits.Values.Where(ups => !parts.Problems.IsTainted(ups.Id)))
        {
            CheckRuntime(ups);
        }
    }

    private void CheckLoss(PseSwitch pse, PseGroup group)
    {
        var left = GroupLimits.UsableAfterLoss(group);
        var (worst, demand) = demands.Worst((pse.Id, group.Number));
        var allocated = group.Allocation == AllocationPolicy.ByDraw ? Power.Zero : demands.Allocated(pse, group);
        if (demand <= left && allocated <= left)
        {
            return;
        }

        var asked = demand > left ? $"In load case '{worst.Id}' it needs {demand}" : $"It sets {allocated} aside";
        var budget = _figures.GroupBudget(pse.Id, group.Number);
        parts.Problems.Warning(
            "supply-loss-not-survived", budget.At, PseBuilder.GroupElement(pse.Id, group.Number), budget.Value,
            $"Group {group.Number} of '{pse.Id}' is N+1, but does not survive the loss of its largest supply. {asked}, {left} would be left.",
            "Add a supply, take larger ones, move runs to another group, or write 'redundancy: all-needed' if ports may go off.");
    }

    private void CheckRuntime(Ups ups)
    {
        var groups = ups.SwitchIds.Select(id => parts.Switches[id]).SelectMany(pse => pse.Groups.Values, (pse, group) => (pse.Id, Group: group)).ToList();
        var (worst, _) = demands.Worst(groups.Select(g => (g.Id, g.Group.Number)));
        var load = UpsLoad.Of(ups, groups.Select(g => (g.Group, demands.In(worst, g.Id, g.Group.Number))));
        if (ups.WantedRuntime is not { } wanted || UpsLoad.Runtime(ups, load) is not { } runtime || runtime >= wanted)
        {
            return;
        }

        var written = parts.Config.UpsUnits.First(u => u.Id?.Value == ups.Id).WantedRuntimeMinutes!;
        parts.Problems.Warning(
            "ups-runtime-short", written.At, ups.Id, written.Value,
            string.Create(
                CultureInfo.InvariantCulture,
                $"In load case '{worst.Id}' UPS '{ups.Id}' has to give {load} and lasts {Math.Floor(runtime.TotalMinutes)} min, {wanted.TotalMinutes} min are wanted."),
            "Take a larger battery, feed less from it, or want less time.");
    }
}
