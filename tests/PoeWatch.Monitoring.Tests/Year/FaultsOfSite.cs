using PoeWatch.Domain.Alarms;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What comes from outside: mains, heat, and the clock of the machine itself.</summary>
internal sealed class FaultsOfSite(YearPlan plan)
{
    // Thermometers and batteries are asked every five minutes, as the switches are.
    private static readonly TimeSpan s_patience = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan s_rare = TimeSpan.FromMinutes(6);
    private static readonly TimeSpan s_upstreamAsked = YearOptions.PollPeriod + TimeSpan.FromSeconds(10);

    public const string Mains = "mains of the site lost, cold start";
    public const string MainsOfOne = "mains of one switch lost, cold start";
    public const string Hot = "cabinet near 60 degrees";
    public const string Battery = "UPS on battery";
    public const string Clock = "clock of the machine stepped";

    private static readonly string[] s_all = ["quay-west", "pass-slipway", "cabinet", "quay-east", "pass-nets", "north-pier"];

    /// <summary>The battery of the cabinet tells the cause, the silence of the first switch what is not known because of it.</summary>
    public YearFault? MainsOfSite() => Lost(Mains, "the site", s_all, plan.Hours(0.5, 3), s_patience) is not { } fault ? null : fault with
    {
        Expected = fault.Expected.Add(YearTimes.Expect(AlarmResources.Ups("ups-cabinet"), AlarmTypes.UpsOnBattery, fault.From, fault.To)),
    };

    public YearFault? MainsOfSwitch()
    {
        var id = plan.OneOf(["cabinet", "north-pier"]);
        return Lost(MainsOfOne, id, [id], plan.Hours(0.5, 6), s_upstreamAsked + s_patience);
    }

    public YearFault? CabinetHot()
    {
        var celsius = Math.Round(plan.Between(50, 70), 1);
        celsius = Math.Abs(celsius - 60) < 0.5 ? celsius + 1 : celsius;
        var lasts = plan.Hours(0.5, 10);
        return plan.Take(["cabinet air"], lasts) is not { } from ? null : new YearFault(
            Hot, FormattableString.Invariant($"{celsius:0.0} degrees"), true, from, from + lasts,
            [YearPlan.At(from, FormattableString.Invariant($"cabinet of quay-west at {celsius:0.0} C")), YearPlan.At(from + lasts, "cabinet of quay-west by season")],
            celsius < 60 ? [] : [YearTimes.Expect(AlarmResources.Cabinet("Quay west", "quay-cabinet"), AlarmTypes.CabinetHot, from, from + lasts)]);
    }

    public YearFault? OnBattery()
    {
        var lasts = plan.Hours(0.3, 2);
        return plan.Take(["ups-cabinet", .. plan.PlacesOf(["cabinet"])], lasts) is not { } from ? null : new YearFault(
            Battery, "ups-cabinet", false, from, from + lasts,
            [YearPlan.At(from, "ups ups-cabinet on battery"), YearPlan.At(from + lasts, "ups ups-cabinet on mains")],
            [YearTimes.Expect(AlarmResources.Ups("ups-cabinet"), AlarmTypes.UpsOnBattery, from, from + lasts)]);
    }

    /// <summary>Two seconds are told, for an hour.</summary>
    public YearFault? ClockStepped()
    {
        var isBelow = plan.Chance.NextDouble() < 0.4;
        var seconds = Math.Round(isBelow ? plan.Between(1.6, 1.95) : plan.Between(2.05, 2.4), 2);
        var hour = TimeSpan.FromHours(1);
        return plan.Take(["clock"], hour) is not { } from ? null : new YearFault(
            Clock, FormattableString.Invariant($"{seconds:0.00} s"), true, from, from + hour, [],
            isBelow ? [] : [YearTimes.Expect(AlarmResources.Site, AlarmTypes.ClockOff, from, from + hour)])
        {
            ClockStep = TimeSpan.FromSeconds(seconds),
        };
    }

    private YearFault? Lost(string kind, string name, string[] ids, TimeSpan lasts, TimeSpan later) =>
        plan.Take([.. plan.PlacesOf(ids), .. ids.SelectMany(id => new[] { $"{id} supplies", $"{id} priorities" }), "ups-cabinet", "cabinet air"], lasts) is not { } from
            ? null
            : new YearFault(
                kind, name, false, from, from + lasts,
                [YearPlan.At(from, $"mains of {name} lost"), YearPlan.At(from + lasts, $"mains of {name} back")],
                [YearTimes.Expect(AlarmResources.Switch(ids[0]), AlarmTypes.SwitchSilent, from, from + lasts, later, s_rare)]);
}
