using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// The priorities that are configured in a switch differ from the design so that a shortage would cut a critical or high port before a less critical one. One
/// alarm a group, however many ports it names: they have one cause.
/// </summary>
internal static class PriorityDiffersRule
{
    private const string NextSteps =
        "Likely causes: the switch was left at its default priority, which is low for every port; it was replaced or reset; a device was moved to another port; or the "
        + "design was changed and the switch was not. 1. Read the priority of the ports that are named in the switch. 2. Where the design is right, set it there (this "
        + "service never writes to a switch); where the switch is right, correct 'criticality' in the design. 3. Among ports of one priority the lowest number keeps "
        + "power longest: move a critical device there where the switch knows too few levels. "
        + "PoE is no life-safety supply, whatever its priority.";

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var group in input.Site.Groups.Where(g => g.Account is { Shedding.IsPriorityKnown: true }))
        {
            var shedding = group.Account!.Shedding;
            var ports = shedding.Order.ToDictionary(p => p.Port);
            var wrong = shedding.Inversions.Where(c => ports[c.DroppedPort].Designed is Criticality.Critical or Criticality.High).ToList();
            if (wrong.Count == 0)
            {
                continue;
            }

            var isCritical = wrong.Exists(c => ports[c.DroppedPort].Designed == Criticality.Critical);
            var lost = shedding.Conflicts.Where(c => wrong.Exists(w => w.DroppedPort == c.DroppedPort)).Select(c => c.DroppedPort).ToList();
            var isLost = lost.Exists(port => ports[port].Designed == Criticality.Critical);
            var severity = isLost ? AlarmSeverity.Major : isCritical ? AlarmSeverity.Minor : AlarmSeverity.Warning;
            yield return AlarmCondition.Plain(
                new AlarmKey(AlarmResources.Group(group.PseId, group.Group), AlarmTypes.PriorityDiffers), severity, Text(input, group, ports, [.. wrong.Select(w => (ports[w.DroppedPort], ports[w.KeptPort]))], lost), NextSteps);
        }
    }

    private static string Text(
        RuleInput input, GroupAssessment group, Dictionary<int, ShedPort> ports, IReadOnlyList<(ShedPort Lost, ShedPort Kept)> wrong, IReadOnlyCollection<int> lost)
    {
        var shedding = group.Account!.Shedding;
        var named = RuleInput.List([.. wrong.Select(w => string.Create(
            CultureInfo.InvariantCulture,
            $"{input.Place(PortOf(input, group, w.Lost))} is {Word(w.Lost.Designed)} by design and {Word(w.Lost.Priority)} in the switch, port {w.Kept.Port} ({Word(w.Kept.Designed)} by design, {Word(w.Kept.Priority)} in the switch) keeps power longer"))]);
        var text = $"Priority differs from the design at {group.PseId} group {group.Group.ToString(CultureInfo.InvariantCulture)}: when power runs short the switch would cut the wrong ports first. {named}.";
        if (shedding.UsableAfterLoss is not { } left)
        {
            return text;
        }

        var together = string.Join(", ", lost.Select(port => string.Create(CultureInfo.InvariantCulture, $"{port} ({Word(ports[port].Designed)})")));
        return text + $" With the largest supply lost {RuleInput.Watts(left)} remain of {RuleInput.Watts(group.Budget)}: "
            + (lost.Count == 0 ? "by design and draw nothing of them is cut then." : $"then these ports would be without power while less critical ones keep it: {together}.");
    }

    private static PortAssessment PortOf(RuleInput input, GroupAssessment group, ShedPort port) =>
        input.Site.Ports[new Readings.PsePortRef(group.PseId, group.Group, port.Port)];

    private static string Word(Criticality criticality) => criticality switch
    {
        Criticality.Critical => "critical",
        Criticality.High => "high",
        _ => "low",
    };
}
