using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// Overloads, shorts or lost keep-alives are counted at a port again and again (RFC 3621 counters; differences within one life of the agent). What comes and goes
/// between two polls shows here only. Refusals are a group's alarm, for they have one cause.
/// </summary>
internal static class FaultCountsRule
{
    // Common practice, no source. A device that is unplugged is one lost keep-alive.
    public const int FaultsLeast = 3;
    public const int AbsentLeast = 6;

    private const string NextSteps =
        "1. Shorts and overloads: unplug the device at the pole and see whether the counts stand still; then it is the device, else cable or connector. 2. After rain expect "
        + "water in the connector and the surge protector first. 3. Lost keep-alives: a loose contact, or a device that sleeps below 10 mA. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var port in input.Memory is null ? [] : input.Site.Ports.Values.Where(p => !IsToldAlready(input, p)))
        {
            if (input.Memory!.Find(port.Port)?.CountsInHour(input.Memory.Running) is not { } counts
                || (counts.Overload + counts.Short < FaultsLeast && counts.MpsAbsent < AbsentLeast))
            {
                continue;
            }

            var text = string.Create(
                CultureInfo.InvariantCulture,
                $"Fault counts rise at {input.Place(port)}: in the last hour {counts.Overload} overloads, {counts.Short} shorts and {counts.MpsAbsent} lost keep-alives (RFC 3621 counters of the switch; alarmed from {FaultsLeast} overloads and shorts or {AbsentLeast} lost keep-alives in an hour, common practice). Behind it: {port.Feeds ?? "nothing by design"}.");
            yield return AlarmCondition.Plain(
                new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.FaultCountsRising),
                counts.Overload + counts.Short >= FaultsLeast ? AlarmSeverity.Minor : AlarmSeverity.Warning,
                text,
                NextSteps);
        }
    }

    // A port that is dark, in fault or flapping has its own alarm for the same cause.
    private static bool IsToldAlready(RuleInput input, PortAssessment port) =>
        port.IsDark || port.State is PortState.Fault or PortState.OtherFault || FlappingRule.IsFlapping(input, port);
}
