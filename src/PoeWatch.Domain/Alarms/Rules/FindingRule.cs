using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// What is odd about the answers of an agent that does answer: units that conflict, a device or a VLAN that the design has otherwise. Told by the
/// polling; here it becomes an alarm.
/// </summary>
internal static class FindingRule
{
    private const string UnitSteps =
        "1. Run 'inspect' against the switch: it shows the sources, the sums and the unit that each is thought to have. 2. Compare one port with the switch's own "
        + "display. 3. Correct the unit in the design's draw-column or in a draw sheet. What is in doubt stays withheld until three polls agree.";

    private const string PlaceSteps =
        "1. See in the switch and on the cable which device stands there. 2. Put the cable or the VLAN right, or write into the design what is meant. The interface is "
        + "taken for the port's by the evidence that 'inspect' shows. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input) =>
        from agent in input.Site.Agents.Values
        from finding in agent.Findings
        let type = TypeOf(finding.Kind)
        where type is not null
        group finding by (Resource: Resource(agent.PseId, finding), Type: type) into same
        select AlarmCondition.Plain(
            new AlarmKey(same.Key.Resource, same.Key.Type),
            same.Key.Type == AlarmTypes.WrongVlan ? AlarmSeverity.Warning : AlarmSeverity.Minor,
            $"{Title(same.Key.Type)} at {Place(input, same.First(), same.Key.Resource)}: {string.Join(' ', same.Select(finding => finding.Text))}",
            same.Key.Type == AlarmTypes.UnitConflict ? UnitSteps : PlaceSteps);

    private static string Title(string type) => type switch
    {
        AlarmTypes.UnitConflict => "Units conflict",
        AlarmTypes.MovedDevice => "A device of another place stands",
        AlarmTypes.WrongVlan => "Another VLAN than the design's",
        _ => "Another device than the design's",
    };

    private static string Place(RuleInput input, ReadingFinding finding, string resource) => finding.Port is not { } port
        ? resource[(resource.IndexOf('/', StringComparison.Ordinal) + 1)..].Replace(":", " group ", StringComparison.Ordinal)
        : input.Site.Ports.TryGetValue(port, out var known) ? input.Place(known) : $"port {port}";

    /// <summary>Null for what is no alarm: that a column is an allocation changes only what it is called.</summary>
    private static string? TypeOf(FindingKind kind) => kind switch
    {
        FindingKind.UnitConflict => AlarmTypes.UnitConflict,
        FindingKind.WrongDevice => AlarmTypes.WrongDevice,
        FindingKind.MovedDevice => AlarmTypes.MovedDevice,
        FindingKind.WrongVlan => AlarmTypes.WrongVlan,
        _ => null,
    };

    private static string Resource(string pseId, ReadingFinding finding) =>
        finding.Port is { } port ? AlarmResources.Port(port) : AlarmResources.Group(pseId, finding.Group);

    /// <summary>Whether the agent of a resource answers: only then is the absence of a finding a fact. Null for keys of other rules.</summary>
    public static bool? IsKnown(AlarmKey key, SiteAssessment site)
    {
        if (key.Type is not (AlarmTypes.UnitConflict or AlarmTypes.WrongDevice or AlarmTypes.MovedDevice or AlarmTypes.WrongVlan))
        {
            return null;
        }

        var place = key.Resource[(key.Resource.IndexOf('/', StringComparison.Ordinal) + 1)..];
        var pseId = place[..Math.Max(place.LastIndexOf(':'), 0)];
        return !site.Agents.TryGetValue(pseId, out AgentAssessment? agent) || agent.Outcome is PollOutcome.Answered or PollOutcome.Partial;
    }
}
