using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// The design has a PD behind the port and the port feeds none. A port in fault is told by its own rule; one whose group is off, or that was refused power, hangs under the alarm of
/// its group. For some minutes after a switch started its ports may rightly be dark.
/// </summary>
internal static class PortDarkRule
{
    private const string NextSteps =
        "1. See in the switch whether the port is switched off. 2. If it searches: the device is off, unplugged, or the cable is broken; test the cable from the "
        + "switch end first. 3. See whether the budget ran short and the switch cut the port. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var port in input.Site.Ports.Values.Where(p => p.IsDark && p.State is not (PortState.Fault or PortState.OtherFault) && !HasRoot(input, p)))
        {
            var devices = Devices(input.Design, port);
            var isPressing = devices.Any(d => d.Criticality is Criticality.Critical or Criticality.High);
            var text = $"No device is fed at {input.Place(port)}: the switch says '{Word(port.State)}', the design has "
                + $"{(devices.Count == 0 ? port.Feeds : RuleInput.List([.. devices.Select(d => d.Name)]))} there.";
            yield return AlarmCondition.Plain(
                new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.PortDark), isPressing ? AlarmSeverity.Major : AlarmSeverity.Minor, text, NextSteps) with
            {
                OnDelay = input.IsSwitchStarting(port.Port) ? RuleInput.StartTime : null,
            };
        }
    }

    private static bool HasRoot(RuleInput input, PortAssessment port) =>
        BudgetReachedRule.IsRefused(input, port) || input.Site.Groups.Any(g => g.IsOn == false && g.PseId == port.Port.PseId && g.Group == port.Port.Group);

    private static List<PoweredDevice> Devices(DesignModel design, PortAssessment port) => design.CableRuns.Values
        .Where(run => port.CableRunId is null || run.Id == port.CableRunId)
        .SelectMany(run => run.Root.SelfAndBelow())
        .Where(place => place.ElementId == port.Feeds)
        .SelectMany(place => place.SelfAndBelow())
        .Where(place => place.Device is not null)
        .Select(place => place.Device!)
        .ToList();

    private static string Word(PortState state) => state switch
    {
        PortState.Disabled => "disabled",
        PortState.Searching => "searching",
        PortState.Test => "test",
        _ => "unknown",
    };
}
