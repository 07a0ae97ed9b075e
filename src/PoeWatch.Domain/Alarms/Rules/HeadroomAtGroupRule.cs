using System.Globalization;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>The draw of a PSE group comes too near its budget. Once the switch refuses ports, or a supply is lost, that alarm says it.</summary>
internal static class HeadroomAtGroupRule
{
    private const string NextSteps =
        "1. Add no device on this switch. 2. When the budget ends the switch cuts ports by their priority, low first: see which devices that would be. "
        + "3. See whether a supply is lost or the budget is set lower than designed. 4. Move devices to another group or add a supply. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        var policy = input.Design.Headroom.AtGroup;
        foreach (var group in input.Site.Groups.Where(g => g.Draw.Provenance.IsDraw() && !SupplyLostRule.IsLost(g) && !BudgetReachedRule.Refused(input, g).Any()))
        {
            var floor = policy.Early.For(group.Budget);
            if (group.DrawHeadroom is not { } left || !input.IsNear(left, floor, AlarmTypes.BudgetHeadroomLow))
            {
                continue;
            }

            var guard = group.Budget - left - group.Draw.Watts!.Value;
            var text = string.Create(
                CultureInfo.InvariantCulture,
                $"Budget headroom low at {group.PseId} group {group.Group}: it draws {RuleInput.Watts(group.Draw)} of {RuleInput.Watts(group.Budget)} (the lower of designed and reported budget)")
                + (guard.Milliwatts > 0 ? $" with a guard band of {RuleInput.Watts(guard)}" : "")
                + $", {RuleInput.Watts(left)} left, at least {RuleInput.Watts(floor)} should be. The design expects up to {RuleInput.Watts(group.DesignDemand)} now.";
            var key = new AlarmKey(AlarmResources.Group(group.PseId, group.Group), AlarmTypes.BudgetHeadroomLow);
            yield return RuleInput.Levelled(key, left.Watts, RuleInput.Levels(policy, group.Budget), text, NextSteps);
        }
    }
}
