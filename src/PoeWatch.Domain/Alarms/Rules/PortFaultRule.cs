using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>The PSE reports a fault of the port (RFC 3621 pethPsePortDetectionStatus: fault, otherFault).</summary>
internal static class PortFaultRule
{
    private const string NextSteps =
        "1. Read the port's counters for overload, short and MPS-absent in the switch. 2. After water or a storm expect the connector and the surge protector first. "
        + "3. Test the cable with the device unplugged, then the device on a short cable. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input) => input.Site.Ports.Values
        .Where(port => port.State is PortState.Fault or PortState.OtherFault)
        .Select(port => AlarmCondition.Plain(
            new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.PortFault),
            port.Feeds is null ? AlarmSeverity.Minor : AlarmSeverity.Major,
            $"Fault at {input.Place(port)}: the switch reports '{(port.State == PortState.Fault ? "fault" : "otherFault")}' (RFC 3621 port state) and feeds nothing there. "
                + (port.Feeds is null ? "The design has nothing behind it." : $"Behind it by design: {port.Feeds}."),
            NextSteps));
}
