using System.Globalization;
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
    // Fault counters are read every five minutes by default, with the poll that is due then.
    private static readonly TimeSpan s_countersRead = TimeSpan.FromMinutes(11);

    private const int OffOnOff = 3;
    private static readonly TimeSpan s_staysDark = TimeSpan.FromMinutes(15);

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
                + $"{(devices.Count == 0 ? port.Feeds : RuleInput.List([.. devices.Select(d => d.Name)]))} there.{Counts(input, port)}";
            yield return AlarmCondition.Plain(
                new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.PortDark), isPressing ? AlarmSeverity.Major : AlarmSeverity.Minor, text, NextSteps) with
            {
                OnDelay = AfterStart(input, port) ?? AfterSchedule(input, port) ?? AfterReturn(input, port) ?? AfterLoss(input, port),
            };
        }
    }

    private static bool HasRoot(RuleInput input, PortAssessment port) =>
        BudgetReachedRule.IsRefused(input, port) || input.Site.Groups.Any(g => g.IsOn == false && g.PseId == port.Port.PseId && g.Group == port.Port.Group);

    // Ports of a switch that started are fed in their stages, and seen on at the next poll only.
    private static TimeSpan? AfterStart(RuleInput input, PortAssessment port) =>
        input.IsSwitchStarting(port.Port) ? RuleInput.StartTime + input.PollPeriodOf(port.Port) : null;

    // Where a supply is lost the switch most likely cut the port: its counter, which is read more rarely, will tell.
    private static TimeSpan? AfterLoss(RuleInput input, PortAssessment port) =>
        input.Site.Groups.Any(g => g.PseId == port.Port.PseId && g.Group == port.Port.Group && SupplyLostRule.IsLost(g)) ? s_countersRead : null;

    // The clock of a switch may be minutes off, and its port is seen on at the next poll only.
    private static TimeSpan? AfterSchedule(RuleInput input, PortAssessment port) =>
        port.WasOffBySchedule ? input.Timings.For(AlarmTypes.ScheduleNotKept).OnDelay + input.PollPeriodOf(port.Port) : null;

    // One that was dark, came back and is dark again within the hour has a loose plug or restarts: that is one alarm, of flapping, unless it stays dark.
    private static TimeSpan? AfterReturn(RuleInput input, PortAssessment port) =>
        input.Memory?.Find(port.Port)?.SwitchesInHour(input.Memory.Running) >= OffOnOff ? s_staysDark : null;

    private static string Counts(RuleInput input, PortAssessment port) =>
        input.Memory?.Find(port.Port)?.CountsInHour(input.Memory.Running) is { } counts && counts.Overload + counts.Short > 0
            ? string.Create(CultureInfo.InvariantCulture, $" In the last hour it counted {counts.Overload} overloads and {counts.Short} shorts (RFC 3621 counters).")
            : "";

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
