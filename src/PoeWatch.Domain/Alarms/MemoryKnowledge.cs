using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Alarms.Rules;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms;

/// <summary>Of which keys that rest on a memory, a supply or a thermometer anything is known.</summary>
internal static class MemoryKnowledge
{
    private const int QuartersOfHour = 4;

    /// <summary>Null for keys of other rules.</summary>
    public static bool? IsKnown(AlarmKey key, RuleInput input) => key.Type switch
    {
        AlarmTypes.CabinetHot => CabinetHotRule.IsKnown(key, input),
        AlarmTypes.CableResistanceGrown => CableResistanceRule.IsKnown(key, input),
        AlarmTypes.SupplyLost => Group(key, input) is not { } group || group.IsOn is not null || group.Reported is not null,
        AlarmTypes.BudgetReached => Group(key, input) is not { } group || (input.Memory is not null && IsAnswered(group.PseId, input)),
        AlarmTypes.FaultCountsRising or AlarmTypes.PortFlapping => Port(key, input) is not { } port || (input.Memory?.Find(port.Port) is not null && port.State != PortState.Unknown),
        AlarmTypes.DrawStep => Port(key, input) is not { } port || port.State is not (PortState.Unknown or PortState.Delivering)
            || (port.Draw.Provenance.IsDraw() && input.Memory?.Find(port.Port) is { LastHour.Count: QuartersOfHour } steps && steps.Days.Count(d => d.IsWhole) >= DrawStepRule.DaysLeast),
        AlarmTypes.DrawCreep => Port(key, input) is not { } port || IsTrendKnown(port.Port, input),
        AlarmTypes.HeadroomEnds => !input.Site.CableRuns.TryGetValue(Rest(key), out var run) || input.Design.CableRuns[run.CableRunId].Source.Port is not { } port
            || IsTrendKnown(port, input),
        AlarmTypes.PollOverrun => !input.Site.Agents.ContainsKey(Rest(key)) || IsAnswered(Rest(key), input),
        _ => null,
    };

    private static bool IsTrendKnown(PsePortRef port, RuleInput input) => input.Memory?.Find(port)?.Days.Count >= DrawTrend.DaysLeast;

    private static bool IsAnswered(string pseId, RuleInput input) =>
        !input.Site.Agents.TryGetValue(pseId, out var agent) || agent.Outcome is PollOutcome.Answered or PollOutcome.Partial;

    private static PortAssessment? Port(AlarmKey key, RuleInput input) => PsePortRef.TryParse(Rest(key), out var port) ? input.Site.Ports.GetValueOrDefault(port) : null;

    private static GroupAssessment? Group(AlarmKey key, RuleInput input) =>
        input.Site.Groups.FirstOrDefault(g => AlarmResources.Group(g.PseId, g.Group) == key.Resource);

    private static string Rest(AlarmKey key) => key.Resource[(key.Resource.IndexOf('/', StringComparison.Ordinal) + 1)..];
}
