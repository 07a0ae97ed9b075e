using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What a port or a device does again and again, or does not do when it should.</summary>
internal sealed class FaultsOfBehaviour(YearPlan plan)
{
    // Fault counters are read every five minutes, with the poll that is due then.
    private static readonly TimeSpan s_counters = TimeSpan.FromMinutes(11);
    private static readonly TimeSpan s_hour = TimeSpan.FromHours(1);

    public const string Flaps = "loose plug";
    public const string Counts = "fault counts while feeding";
    public const string Plan = "schedule not kept";
    public const string WrongClass = "wrong class after a reboot";
    public const string WrongType = "device of another type";

    /// <summary>Six changes within an hour are told, so a period of 24 minutes is the limit. The first time that it is dark is a dark port; after that it is one alarm, of flapping.</summary>
    public YearFault? LoosePlug()
    {
        var at = plan.OneOf(plan.Straight("access-point", "radio-bridge", "tide-gauge"));
        var isBelow = plan.Chance.NextDouble() < 0.5;
        var period = TimeSpan.FromSeconds(Math.Floor(60 * (isBelow ? plan.Between(25.5, 29) : plan.Between(14.5, 21))));
        var lasts = plan.Hours(3, 8);
        if (plan.Take(YearPlan.PlacesOf(at.Port), lasts + s_hour) is not { } from)
        {
            return null;
        }

        var port = AlarmResources.Port(at.Port);
        var dark = YearTimes.Expect(port, AlarmTypes.PortDark, from, from + lasts);
        return new YearFault(
            Flaps, FormattableString.Invariant($"{at.Port} every {period.TotalMinutes:0.0} min"), true, from, from + lasts,
            [YearPlan.At(from, FormattableString.Invariant($"port {at.Port} flaps every {period.TotalSeconds:0} s")), YearPlan.At(from + lasts, $"port {at.Port} flaps no more")],
            isBelow ? [dark] : [dark, YearTimes.Expect(port, AlarmTypes.PortFlapping, from, from + lasts, s_hour, s_hour)]);
    }

    /// <summary>Three overloads or shorts, six lost keep-alives an hour are told.</summary>
    public YearFault? Count()
    {
        var at = plan.OneOf(plan.Straight("access-point", "radio-bridge", "tide-gauge", "fixed-camera", "horn-speaker"));
        var (what, limit) = plan.OneOf([("overload", 3), ("short", 3), ("mps-absent", 6)]);
        var isBelow = plan.Chance.NextDouble() < 0.4;

        // Counters are read every five minutes, which is how well an hour is known: what is one below the limit is undecided.
        var count = isBelow ? (limit == 3 ? 1 : 4) : limit + 1 + plan.Chance.Next(limit);
        var lasts = plan.Hours(3, 12);
        return plan.Take(YearPlan.PlacesOf(at.Port), lasts + s_hour) is not { } from
            ? null
            : new YearFault(
                Counts, FormattableString.Invariant($"{at.Port} {count} {what} an hour"), count * 10 <= limit * 12 && !isBelow, from, from + lasts,
                [YearPlan.At(from, FormattableString.Invariant($"port {at.Port} counts {count} {what} an hour")), YearPlan.At(from + lasts, $"port {at.Port} counts no more")],
                isBelow ? [] : [YearTimes.Expect(AlarmResources.Port(at.Port), AlarmTypes.FaultCountsRising, from, from + lasts, s_hour + s_counters, s_hour + s_counters)]);
    }

    /// <summary>Feeds through one night in which its schedule has it off.</summary>
    public YearFault? IgnoresPlan()
    {
        var schedule = plan.OneOf([.. plan.Design.Schedules]);
        var port = schedule.Ports.First();
        var noon = TimeSpan.FromHours(12);
        if (plan.Take(YearPlan.PlacesOf(port), TimeSpan.FromHours(30)) is not { } somewhen)
        {
            return null;
        }

        // From one noon to the next, so that it is one night.
        var from = TimeSpan.FromDays(Math.Floor(somewhen.TotalDays)) + noon;
        from = from < somewhen ? somewhen : from;
        var midnight = TimeSpan.FromDays(Math.Floor(from.TotalDays)) + TimeSpan.FromDays(1);
        var off = midnight + (schedule.Off.From > schedule.Off.To ? schedule.Off.From.ToTimeSpan() - TimeSpan.FromDays(1) : schedule.Off.From.ToTimeSpan());
        var on = midnight + schedule.Off.To.ToTimeSpan();
        var to = on + TimeSpan.FromHours(1);
        return from > off ? null : new YearFault(
            Plan, $"{port} feeds through the night", false, from, to,
            [YearPlan.At(from, $"port {port} ignores its plan"), YearPlan.At(to, $"port {port} keeps its plan")],
            [YearTimes.Expect(AlarmResources.Port(port), AlarmTypes.ScheduleNotKept, off, on)]);
    }

    public YearFault? AsksForLess()
    {
        var at = plan.OneOf(plan.Straight("access-point", "radio-bridge"));
        return Simple(
            WrongClass, at.Port, $"{at.Device.Id} asks for class 3", plan.Hours(1, 40), $"device {at.Device.Id} asks for class 3", $"device {at.Device.Id} asks as designed",
            (from, to) => [YearTimes.Expect(AlarmResources.Port(at.Port), AlarmTypes.GrantTooSmall, from, to)]);
    }

    /// <summary>Something of more than twice the demand in place of a tide gauge.</summary>
    public YearFault? OfAnotherType()
    {
        var at = plan.OneOf(plan.Straight("tide-gauge"));
        return Simple(
            WrongType, at.Port, $"{at.Device.Id} at {at.Port} is a radio bridge", plan.Hours(3, 60), $"device {at.Device.Id} swapped for radio-bridge", $"device {at.Device.Id} as designed",
            (from, to) => [YearTimes.Expect(AlarmResources.Port(at.Port), AlarmTypes.DrawAboveDesign, from, to)]);
    }

    private YearFault? Simple(
        string kind, PsePortRef port, string what, TimeSpan lasts, string begins, string ends, Func<TimeSpan, TimeSpan, ImmutableArray<ExpectedAlarm>> truth) =>
        plan.Take(YearPlan.PlacesOf(port), lasts) is not { } from
            ? null
            : new YearFault(kind, what, false, from, from + lasts, [YearPlan.At(from, begins), YearPlan.At(from + lasts, ends)], truth(from, from + lasts));
}
