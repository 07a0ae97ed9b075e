using System.Globalization;
using PoeWatch.Domain.Assessment;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>A port went on or off again and again within the hour: one alarm, however often. A restart of the switch does not count.</summary>
internal static class FlappingRule
{
    // Three times off and on: common practice, no source.
    public const int SwitchesLeast = 6;

    private const string NextSteps =
        "1. See in the switch's log and in the fault counts why the port goes off: overload, lost keep-alive, or short of budget. 2. A loose connector moves with the wind: "
        + "have both ends looked at. 3. A device that restarts may be hot or starved: read its own log. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var port in input.Memory is null ? [] : input.Site.Ports.Values.AsEnumerable())
        {
            if (input.Memory!.Find(port.Port)?.SwitchesInHour(input.Memory.Running) is not (>= SwitchesLeast - 1 and var times))
            {
                continue;
            }

            var text = string.Create(
                CultureInfo.InvariantCulture,
                $"Port goes on and off at {input.Place(port)}: {times} changes between feeding and not feeding were seen in the last hour (alarmed from {SwitchesLeast}, common practice; between two polls there may be more). Behind it: {port.Feeds ?? "nothing by design"}.");

            // One change fewer is the deadband: else a plug that flaps about as often as is told would come and go itself.
            yield return new AlarmCondition(
                new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.PortFlapping),
                port.Feeds is null ? AlarmSeverity.Warning : AlarmSeverity.Minor,
                -times,
                -(SwitchesLeast - 0.5),
                text,
                NextSteps);
        }
    }

    /// <summary>True where it is told to flap.</summary>
    internal static bool IsFlapping(RuleInput input, PortAssessment port) => input.Memory?.Find(port.Port)?.SwitchesInHour(input.Memory.Running) >= SwitchesLeast;
}
