using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>A port feeds while a schedule of the design says off.</summary>
internal static class ScheduleRule
{
    private const string NextSteps =
        "1. See whether the schedule is set in the switch and its clock and time zone are right. 2. If somebody switched the port on by hand for a reason, accept the deviation "
        + "until a date. 3. If the schedule is no longer meant, take it out of the design: its load then counts in the headroom. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input) =>
        from port in input.Site.Ports.Values
        where port is { IsOffBySchedule: true, State: PortState.Delivering }
        let names = RuleInput.List([.. input.Design.Schedules.Where(s => s.Ports.Contains(port.Port)).Select(s => s.Id)])
        select AlarmCondition.Plain(
            new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.ScheduleNotKept),
            AlarmSeverity.Warning,
            $"Schedule not kept at {input.Place(port)}: it feeds {RuleInput.Watts(port.Draw)} while schedule {names} of the design says off (site's own time). Behind it: {port.Feeds ?? "nothing by design"}.",
            NextSteps);
}
