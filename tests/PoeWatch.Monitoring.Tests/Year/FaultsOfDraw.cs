using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.World;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>
/// A device is swapped for another one, at devices whose demand is the same at any hour. Four things can be true of the new draw: it is one that this port had within the week;
/// a level that it did not have; more than the design asks for; or so much that less than 5 W are left at the far end.
/// </summary>
internal sealed class FaultsOfDraw(YearPlan plan, SimulatedWorld calm)
{
    // Meters of 0.1 W, 5 % or 1 W of tolerance, 1 W or 10 % for a step, 5 W for the headroom: published figures of the product and of the year's design.
    private const double HeadroomFloorWatts = 5;
    private const double Limit30Watts = 30;

    // What is closer to a limit than this no meter of 0.1 W and no cable known to a few degrees can tell.
    private const double Undecided = 0.02;
    private static readonly TimeSpan s_level = TimeSpan.FromMinutes(80);

    public const string Swapped = "device swapped, draw near the design's demand";
    public const string Heavy = "device swapped, draw near the end of the headroom";
    public const string Lighter = "part of a device failed";

    /// <summary>Around the most that the design lets pass.</summary>
    public YearFault? NearDemand() => Around(Swapped, run => MostLetPass(run.Run, run.Demand), 0.2, 0.2);

    /// <summary>Around what leaves 5 W at the far end; always below what the port trips at.</summary>
    public YearFault? NearHeadroom() => Around(Heavy, run => YearPhysics.MostAtDevice(run.Run, Limit30Watts) - HeadroomFloorWatts, 0.2, 0.1, "access-point", "radio-bridge");

    /// <summary>Draws less than it did within the week: a light, a heater or a radio of it failed.</summary>
    public YearFault? PartFailed()
    {
        var at = plan.OneOf(plan.Straight("access-point", "radio-bridge", "tide-gauge"));
        var lasts = plan.Hours(6, 60);
        if (plan.Take(YearPlan.PlacesOf(at.Port), lasts, at.Port) is not { } from)
        {
            return null;
        }

        var least = Known(at.Device, at.Run, from).Least;
        var limit = least - Math.Max(1, 0.1 * least);
        var watts = YearPhysics.MostAtDevice(at.Run, Math.Max(0.5, limit * Off(plan.Between(-0.2, 0.2))));
        return Fault(Lighter, at, from, lasts, watts, isNear: true, YearPhysics.AtPort(at.Run, watts) < limit ? Level(at.Port, from, lasts) : null);
    }

    private YearFault? Around(string kind, Func<(CableRun Run, double Demand), double> limitOf, double below, double above, params string[] types)
    {
        var at = plan.OneOf(plan.Straight(types.Length > 0 ? types : ["access-point", "radio-bridge", "tide-gauge"]));
        var lasts = plan.Hours(2, 60);
        if (plan.Take(YearPlan.PlacesOf(at.Port), lasts, at.Port) is not { } from)
        {
            return null;
        }

        var limit = limitOf((at.Run, Demand(at.Device)));
        var watts = limit * Off(plan.Between(-below, above));
        return IsUndecidedStep(at, from, watts) ? null : Fault(kind, at, from, lasts, watts, isNear: true, Truth(at, from, lasts, watts));
    }

    // Moved out of the undecided band around the limit.
    private static double Off(double share) => 1 + (Math.Abs(share) >= Undecided ? share : Math.CopySign(Undecided, share));

    private ExpectedAlarm? Truth((PsePortRef Port, PoweredDevice Device, CableRun Run) at, TimeSpan from, TimeSpan lasts, double watts)
    {
        if (YearPhysics.MostAtDevice(at.Run, Limit30Watts) - watts < HeadroomFloorWatts)
        {
            return YearTimes.Expect(AlarmResources.CableRun(at.Run.Id), AlarmTypes.HeadroomLow, from, from + lasts);
        }

        if (watts > MostLetPass(at.Run, Demand(at.Device)))
        {
            return YearTimes.Expect(AlarmResources.Port(at.Port), AlarmTypes.DrawAboveDesign, from, from + lasts);
        }

        return YearPhysics.AtPort(at.Run, watts) > StepLimit(at.Device, at.Run, from) ? Level(at.Port, from, lasts) : null;
    }

    private bool IsUndecidedStep((PsePortRef Port, PoweredDevice Device, CableRun Run) at, TimeSpan from, double watts) =>
        Math.Abs((YearPhysics.AtPort(at.Run, watts) / StepLimit(at.Device, at.Run, from)) - 1) < Undecided;

    private double StepLimit(PoweredDevice device, CableRun run, TimeSpan from)
    {
        var most = Known(device, run, from).Most;
        return most + Math.Max(1, 0.1 * most);
    }

    // A level is told once it held for four quarter-hours of the clock.
    private static ExpectedAlarm? Level(PsePortRef port, TimeSpan from, TimeSpan lasts) => lasts < s_level
        ? null
        : YearTimes.Expect(AlarmResources.Port(port), AlarmTypes.DrawStep, from, from + lasts, s_level, TimeSpan.FromMinutes(15));

    /// <summary>Watts at the device that are 5 % or 1 W, the larger, above the demand at the port.</summary>
    private static double MostLetPass(CableRun run, double demand)
    {
        var atPort = YearPhysics.AtPort(run, demand);
        return YearPhysics.MostAtDevice(run, atPort + Math.Max(1, 0.05 * atPort));
    }

    private double Demand(PoweredDevice device) => plan.Design.DeviceTypes[device.TypeId].Demand.Watts;

    /// <summary>The quarter-hour means of the seven days before, from the world itself.</summary>
    private (double Least, double Most) Known(PoweredDevice device, CableRun run, TimeSpan from)
    {
        var (least, most) = (double.MaxValue, 0.0);
        for (var back = TimeSpan.Zero; back < TimeSpan.FromDays(7) && back < from; back += TimeSpan.FromMinutes(15))
        {
            var mean = Enumerable.Range(0, 3).Average(i => calm.DrawAt(device.Id, calm.Start + from - back + TimeSpan.FromMinutes(5 * i)).Watts);
            var atPort = YearPhysics.AtPort(run, mean);
            (least, most) = (Math.Min(least, atPort), Math.Max(most, atPort));
        }

        return (least, most);
    }

    private static YearFault Fault(
        string kind, (PsePortRef Port, PoweredDevice Device, CableRun Run) at, TimeSpan from, TimeSpan lasts, double watts, bool isNear, ExpectedAlarm? truth) =>
        new(
            kind, $"{at.Device.Id} at {at.Port} draws {YearPlan.Number(watts)} W", isNear, from, from + lasts,
            [YearPlan.At(from, $"device {at.Device.Id} draws {YearPlan.Number(watts)} W"), YearPlan.At(from + lasts, $"device {at.Device.Id} draws as usual")],
            truth is null ? [] : [truth]);
}
