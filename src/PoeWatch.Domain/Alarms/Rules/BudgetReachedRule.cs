using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// The PSE refused power to ports of a group that are dark since, or to one again and again (RFC 3621 pethPsePortPowerDeniedCounter): its budget is used up. Dark ports that were refused hang under this
/// alarm, and so does the group's low headroom: they have one cause.
/// </summary>
internal static class BudgetReachedRule
{
    // What was refused once and is fed again needs nobody: common practice, no source.
    private const long DeniedAgain = 3;

    private const string NextSteps =
        "1. Add nothing on this switch. 2. See which refused port carries what matters most, and whether a less important port can be switched off for it. 3. See whether a supply "
        + "is lost or the budget is set lower than designed. 4. Move devices to another group or add a supply. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var group in input.Site.Groups.Where(g => !SupplyLostRule.IsLost(g)))
        {
            var refused = Refused(input, group).ToList();
            if (refused.Count == 0)
            {
                continue;
            }

            var isCritical = IsCritical(input, refused);
            var text = string.Create(
                CultureInfo.InvariantCulture,
                $"Budget reached at {group.PseId} group {group.Group}: the switch refused power to {RuleInput.List([.. refused.Select(input.Place)])} (RFC 3621 counters). The group draws {RuleInput.Watts(group.Draw)} of {RuleInput.Watts(group.Budget)} (the lower of designed and reported budget), {Allocated(group)}.");
            yield return AlarmCondition.Plain(
                new AlarmKey(AlarmResources.Group(group.PseId, group.Group), AlarmTypes.BudgetReached), isCritical ? AlarmSeverity.Critical : AlarmSeverity.Major, text, NextSteps);
        }
    }

    /// <summary>True where the port was refused power and is dark still, or was refused again and again within the hour.</summary>
    public static bool IsRefused(RuleInput input, PortAssessment port) =>
        input.Memory is { } memory && memory.Find(port.Port) is { } known
        && ((known.IsRefused && port.State != PortState.Delivering) || known.CountsInHour(memory.Running).Denied >= DeniedAgain);

    /// <summary>True where one of them carries a critical device and is dark.</summary>
    public static bool IsCritical(RuleInput input, IEnumerable<PortAssessment> refused) => refused.Any(
        p => p.IsDark && p.CableRunId is { } id && input.Design.CableRuns.TryGetValue(id, out var run) && run.Devices.Any(d => d.Criticality == Criticality.Critical));

    /// <summary>Ports of the group that were, in order.</summary>
    public static IEnumerable<PortAssessment> Refused(RuleInput input, GroupAssessment group) => input.Memory is null
        ? []
        : input.Site.Ports.Values.Where(p => p.Port.PseId == group.PseId && p.Port.Group == group.Group && IsRefused(input, p)).OrderBy(p => p.Port);

    private static string Allocated(GroupAssessment group) =>
        group.Account is { } account ? $"{RuleInput.Watts(account.Allocated)} set aside by its policy" : "what it sets aside is not known";
}
