using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// The agent says that a group is off or faulty (RFC 3621 pethMainPseOperStatus), or reports a budget smaller than designed, as it does when a supply is lost. The
/// dark ports of a group that is off hang under this alarm, and so does what is short in a group with less budget: refused ports and low headroom.
/// </summary>
internal static class SupplyLostRule
{
    // Budgets are told in whole watts, and makers round: common practice, no source.
    private const double ToleranceShare = 0.02;

    private const string NextSteps =
        "1. See in the switch which supply is off or missing, and whether its mains is there: fuse, breaker, plug, battery. 2. While it is lost add nothing; see whom the switch "
        + "drops first. 3. Have the supply replaced by a licensed person: supplies stay charged after they are unplugged. 4. If the budget was set lower on purpose, correct the design. "
        + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var group in input.Site.Groups)
        {
            var key = new AlarmKey(AlarmResources.Group(group.PseId, group.Group), AlarmTypes.SupplyLost);
            if (group.IsOn == false)
            {
                var dark = input.Site.Ports.Values.Where(p => p.IsDark && p.Port.PseId == group.PseId && p.Port.Group == group.Group).OrderBy(p => p.Port).ToList();
                yield return AlarmCondition.Plain(
                    key, AlarmSeverity.Critical,
                    string.Create(CultureInfo.InvariantCulture, $"Supply lost at {group.PseId} group {group.Group}: the switch says that its power is off or faulty (RFC 3621 pethMainPseOperStatus). Not fed because of that ({dark.Count}): {Names(input, dark)}."),
                    NextSteps);
            }
            else if (IsLost(group) && group.Reported is { } reported)
            {
                var refused = BudgetReachedRule.Refused(input, group).ToList();
                var cut = refused.Count == 0 ? "" : $" It refused power to {Names(input, refused)}.";
                yield return AlarmCondition.Plain(
                    key, BudgetReachedRule.IsCritical(input, refused) ? AlarmSeverity.Critical : AlarmSeverity.Major,
                    string.Create(CultureInfo.InvariantCulture, $"Supply or redundancy lost at {group.PseId} group {group.Group}: the switch reports a budget of {RuleInput.Watts(reported)} (reported by the agent, RFC 3621 pethMainPsePower), the design has {RuleInput.Watts(group.Designed)}. It draws {RuleInput.Watts(group.Draw)}; the design expects up to {RuleInput.Watts(group.DesignDemand)} now.{cut}"),
                    NextSteps);
            }
        }
    }

    /// <summary>True where a supply is told to be lost: what is short in the group because of that hangs under this alarm.</summary>
    internal static bool IsLost(GroupAssessment group) =>
        group.IsOn == false || (group is { Account: not null, Reported: { } reported } && IsSmaller(reported, group.Designed));

    private static bool IsSmaller(Power reported, Power designed) => reported.Watts > 0 && reported.Watts < designed.Watts * (1 - ToleranceShare);

    private static string Names(RuleInput input, IReadOnlyCollection<PortAssessment> ports) => ports.Count == 0 ? "nothing designed" : RuleInput.List([.. ports.Select(input.Place)]);
}
