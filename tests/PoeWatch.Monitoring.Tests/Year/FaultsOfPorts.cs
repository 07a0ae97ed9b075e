using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What goes wrong at one port besides the watts.</summary>
internal sealed class FaultsOfPorts(YearPlan plan)
{
    public const string Unplugged = "device unplugged";
    public const string Stranger = "undesigned device";
    public const string SmallGrant = "grant too small";
    public const string Faulty = "port in fault";
    public const string SwitchedOff = "port switched off";
    public const string NoSignature = "no valid signature";
    public const string Short = "short circuit";

    public YearFault? Unplug() => OfDevice(Unplugged, plan.Hours(0.5, 30), (at, from, to) =>
    (
        [YearPlan.At(from, $"element {at.Device.Id} unplugged"), YearPlan.At(to, $"element {at.Device.Id} plugged in")],
        [Dark(at.Port, from, to)]));

    public YearFault? GrantSmall() => OfDevice(
        SmallGrant,
        plan.Hours(1, 40),
        (at, from, to) => (Around(at.Port, "grants class 3", "grants as designed", from, to), [YearTimes.Expect(AlarmResources.Port(at.Port), AlarmTypes.GrantTooSmall, from, to)]),
        "access-point", "radio-bridge");

    public YearFault? Fault() => Trouble(Faulty, "fault", (port, from, to) => [YearTimes.Expect(AlarmResources.Port(port), AlarmTypes.PortFault, from, to)]);

    public YearFault? SwitchOff() => Trouble(SwitchedOff, "off", (port, from, to) => [Dark(port, from, to)]);

    public YearFault? Signature() => Trouble(NoSignature, "signature", (port, from, to) => [Dark(port, from, to)]);

    /// <summary>The port is dark and its counter says why: the dark port is the root, the counts are its sign and no alarm of their own.</summary>
    public YearFault? ShortCircuit() => Trouble(Short, "short", (port, from, to) => [Dark(port, from, to)]);

    public YearFault? Undesigned()
    {
        var used = plan.Design.CableRuns.Values.Select(run => run.Source.Port).ToHashSet();
        List<PsePortRef> free = [.. plan.Design.Switches.Keys.SelectMany(plan.PortsOf).Where(port => !used.Contains(port) && !plan.Design.DataSidePorts.ContainsKey(port)).Order()];
        var port = plan.OneOf(free);
        var lasts = plan.Hours(0.5, 30);
        if (plan.Take(YearPlan.PlacesOf(port), lasts) is not { } from)
        {
            return null;
        }

        var watts = plan.Between(2, 11);
        return new YearFault(
            Stranger, $"{YearPlan.Number(watts)} W at {port}", false, from, from + lasts,
            Around(port, $"carries {YearPlan.Number(watts)} W class 3", "carries nothing", from, from + lasts),
            [YearTimes.Expect(AlarmResources.Port(port), AlarmTypes.PortUnexpected, from, from + lasts)]);
    }

    private static ExpectedAlarm Dark(PsePortRef port, TimeSpan from, TimeSpan to) => YearTimes.Expect(AlarmResources.Port(port), AlarmTypes.PortDark, from, to);

    private YearFault? Trouble(string kind, string word, Func<PsePortRef, TimeSpan, TimeSpan, ImmutableArray<ExpectedAlarm>> truth) => OfDevice(
        kind, plan.Hours(0.5, 20), (at, from, to) => (Around(at.Port, $"trouble {word}", "trouble none", from, to), truth(at.Port, from, to)));

    private YearFault? OfDevice(
        string kind,
        TimeSpan lasts,
        Func<(PsePortRef Port, PoweredDevice Device, CableRun Run), TimeSpan, TimeSpan, (ImmutableArray<string> Lines, ImmutableArray<ExpectedAlarm> Truth)> make,
        params string[] types)
    {
        var at = plan.OneOf(plan.Straight(types.Length > 0 ? types : ["access-point", "radio-bridge", "tide-gauge", "fixed-camera", "horn-speaker", "call-point", "smart-light", "ptz-camera"]));
        if (plan.Take(YearPlan.PlacesOf(at.Port), lasts) is not { } from)
        {
            return null;
        }

        var (lines, truth) = make(at, from, from + lasts);
        return new YearFault(kind, $"{at.Device.Id} at {at.Port}", false, from, from + lasts, lines, truth);
    }

    private static ImmutableArray<string> Around(PsePortRef port, string begins, string ends, TimeSpan from, TimeSpan to) =>
        [YearPlan.At(from, $"port {port} {begins}"), YearPlan.At(to, $"port {port} {ends}")];
}
