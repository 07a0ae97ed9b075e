using System.Globalization;
using PoeWatch.Domain.Alarms;
using PoeWatch.Simulator.World;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What grows over weeks: a draw that creeps, and a joint that corrodes.</summary>
internal sealed class FaultsOverWeeks(YearPlan plan, SimulatedWorld calm)
{
    // 1 W in four weeks is told, as published; so near that limit that neither answer is wrong: from 0.8 W to 1.3 W, for season and noise move the base too.
    private const double UndecidedBelow = 0.8;
    private const double UndecidedAbove = 1.3;
    private const double FourWeeks = 28;
    private const double FloorWatts = 5;
    private const double Limit30Watts = 30;

    // How long trend rules may take, as published with the result.
    private static readonly TimeSpan s_creepTold = TimeSpan.FromDays(30);
    private static readonly TimeSpan s_endTold = TimeSpan.FromDays(10);
    private static readonly TimeSpan s_jointTold = TimeSpan.FromDays(14);

    // A trend looks back four weeks, so it stands for weeks after its end.
    private static readonly TimeSpan s_trendStands = TimeSpan.FromDays(29);

    public const string Creep = "draw creeps, and stays below the design";
    public const string CreepToEnd = "draw creeps until the headroom ends";
    public const string WetJoint = "joint of a metered segment corrodes";

    /// <summary>By a rate around 1 W in four weeks; ends before it reaches what the design lets pass.</summary>
    public YearFault? SlowCreep()
    {
        var at = plan.OneOf(plan.Straight("access-point", "radio-bridge", "tide-gauge"));
        var isBelow = plan.Chance.NextDouble() < 0.4;
        var rate = isBelow ? plan.Between(0.3, UndecidedBelow) : plan.Between(UndecidedAbove, 2);
        var lasts = TimeSpan.FromDays(plan.Between(36, 50));
        var demand = plan.Design.DeviceTypes[at.Device.TypeId].Demand.Watts;
        if (rate * lasts.TotalDays / FourWeeks > demand - MostOfYear(at.Device.Id) || plan.Take(YearPlan.PlacesOf(at.Port, isSlow: true), lasts + s_trendStands) is not { } from)
        {
            return null;
        }

        return new YearFault(
            Creep, $"{at.Device.Id} at {at.Port}, {YearPlan.Number(rate)} W in four weeks", rate is > 0.8 and < 1.2, from, from + lasts,
            [YearPlan.At(from, Creeping(at.Device.Id, rate / FourWeeks)), YearPlan.At(from + lasts, $"device {at.Device.Id} draws as usual")],
            isBelow ? [] : [Trend(AlarmResources.Port(at.Port), AlarmTypes.DrawCreep, from, from + s_creepTold, from + lasts)]);
    }

    /// <summary>From a steady draw up to less than 5 W left: first it is told as a creep, then as more than designed, then with the day of its end, then as low headroom.</summary>
    public YearFault? CreepUntilEnd()
    {
        var at = plan.OneOf(plan.Straight("access-point", "radio-bridge"));
        var demand = plan.Design.DeviceTypes[at.Device.TypeId].Demand.Watts;
        var (first, aDay) = (demand * 0.75, plan.Between(0.18, 0.26));
        var most = YearPhysics.MostAtDevice(at.Run, Limit30Watts);
        TimeSpan Reaches(double watts) => TimeSpan.FromDays((watts - first) / aDay);
        var passed = YearPhysics.AtPort(at.Run, demand);
        var above = Reaches(YearPhysics.MostAtDevice(at.Run, passed + Math.Max(1, 0.05 * passed)));
        var low = Reaches(most - FloorWatts);
        var lasts = low + TimeSpan.FromDays(3);
        if (plan.Take(YearPlan.PlacesOf(at.Port), lasts + s_trendStands) is not { } from)
        {
            return null;
        }

        // Sixty days before the last watt is gone at this rate.
        var ends = Reaches(most) - TimeSpan.FromDays(60);
        var (toEnd, toLow) = (from + (ends > above ? ends : above), from + low);
        return new YearFault(
            CreepToEnd, $"{at.Device.Id} at {at.Port}, {YearPlan.Number(aDay * FourWeeks)} W in four weeks", false, from, from + lasts,
            [
                YearPlan.At(from, $"device {at.Device.Id} draws {YearPlan.Number(first)} W"),
                YearPlan.At(from, Creeping(at.Device.Id, aDay)),
                YearPlan.At(from + lasts, $"device {at.Device.Id} draws as usual"),
            ],
            [
                Trend(AlarmResources.Port(at.Port), AlarmTypes.DrawCreep, from, from + s_creepTold, toEnd + s_endTold),
                Near(YearTimes.Expect(AlarmResources.Port(at.Port), AlarmTypes.DrawAboveDesign, from + above, toLow)),
                Trend(AlarmResources.CableRun(at.Run.Id), AlarmTypes.HeadroomEnds, from + s_endTold, toEnd + s_endTold, from + lasts),
                Near(YearTimes.Expect(AlarmResources.CableRun(at.Run.Id), AlarmTypes.HeadroomLow, toLow, from + lasts)),
            ])
        {
            HeadroomEndsAt = from + Reaches(most),
        };
    }

    /// <summary>Ohms on top of the loop of a segment that is metered at both ends: surely told from 80 % of the loop on, surely not below 5 %.</summary>
    public YearFault? Corrodes()
    {
        var isBelow = plan.Chance.NextDouble() < 0.4;
        var run = plan.Design.CableRuns.Values.Single(found => found.Root.ElementId == "pass-slipway");
        var loop = run.Root.Incoming.Length.Meters * 0.0668 * 1.157 / 2;
        var ohms = loop * (isBelow ? plan.Between(0.01, 0.05) : plan.Between(0.8, 1.3));
        var lasts = TimeSpan.FromDays(plan.Between(24, 34));
        return plan.Take(["segment pass-slipway"], lasts + s_trendStands) is not { } from
            ? null
            : new YearFault(
                WetJoint, $"cable-pass-slipway gains {YearPlan.Number(ohms)} of {YearPlan.Number(loop)} ohm", false, from, from + lasts,
                [YearPlan.At(from, $"segment cable-pass-slipway gains {YearPlan.Number(ohms)} ohm"), YearPlan.At(from + lasts, "segment cable-pass-slipway as designed")],
                isBelow ? [] : [Trend(AlarmResources.CableRun(run.Id), AlarmTypes.CableResistanceGrown, from, from + s_jointTold, from + lasts)]);
    }

    private static string Creeping(string device, double aDay) => string.Create(CultureInfo.InvariantCulture, $"device {device} creeps {aDay / 24:0.000000} W/h");

    private static ExpectedAlarm Trend(string resource, string type, TimeSpan from, TimeSpan raisedBy, TimeSpan to) => new(new AlarmKey(resource, type), from, raisedBy, to + s_trendStands);

    // At the pace of a creep a limit that is known to 2 % is passed within days.
    private static ExpectedAlarm Near(ExpectedAlarm exact) => exact with { From = exact.From - TimeSpan.FromDays(3), RaisedBy = exact.RaisedBy + TimeSpan.FromDays(2) };

    private double MostOfYear(string device) => Enumerable.Range(0, plan.Days * 8).Max(i => calm.DrawAt(device, calm.Start + TimeSpan.FromHours(3 * i)).Watts);
}
