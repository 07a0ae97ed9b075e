using System.Globalization;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// The draw of a PSE group comes too near what its supplies leave: all of them, or in an N+1 group all but the largest. Silent where the budget ends before
/// the supplies do, for then the group's own rule says it.
/// </summary>
internal static class HeadroomAtSupplyRule
{
    private const string NextSteps =
        "1. Add no device on this switch. 2. In an N+1 group everything runs now, but the loss of one supply would cut ports: see which those would be. 3. See whether a supply "
        + "is off or was replaced by a smaller one. 4. Move devices to another group or add a supply. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        var policy = input.Design.Headroom.AtSupply;
        foreach (var group in input.Site.Groups.Where(g => g.Draw.Provenance.IsDraw() && !SupplyLostRule.IsLost(g)))
        {
            if (group.Account?.Limits?.Binding is not { Kind: LimitKind.Supply } binding)
            {
                continue;
            }

            var limit = Power.FromWatts(binding.LimitValue);
            var left = Left(binding);
            var floor = policy.Early.For(limit);
            if (!input.IsNear(left, floor, AlarmTypes.SupplyHeadroomLow))
            {
                continue;
            }

            var text = string.Create(
                CultureInfo.InvariantCulture,
                $"Supply headroom low at {group.PseId} group {group.Group}, which draws {RuleInput.Watts(group.Draw)}: {binding.Sentence} At least {RuleInput.Watts(floor)} should be left. The design expects up to {RuleInput.Watts(group.DesignDemand)} now.");
            yield return RuleInput.Levelled(
                new AlarmKey(AlarmResources.Group(group.PseId, group.Group), AlarmTypes.SupplyHeadroomLow), left.Watts, RuleInput.Levels(policy, limit), text, NextSteps);
        }
    }

    internal static Power Left(LimitMargin binding) => Power.FromWatts(binding.LimitValue - binding.Value);
}
