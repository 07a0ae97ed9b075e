using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Agents;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Simulator.Tests.Support;

/// <summary>A corner of Skerry Haven with every kind of feed, and ports by name.</summary>
internal static class SmallDesign
{
    public const string Switch = "quay-west";
    public static readonly PsePortRef CameraPort = new(Switch, 1, 1);
    public static readonly PsePortRef HornPort = new(Switch, 1, 2);
    public static readonly PsePortRef PassThroughPort = new(Switch, 1, 3);
    public static readonly PsePortRef DataSidePort = new(Switch, 1, 4);

    /// <summary>Watts in the column of IEEE 802.3.1.</summary>
    public static readonly DrawColumn Ieee = new(PseMib.ActualPowerColumn, DrawUnit.Milliwatt, DrawIndex.GroupAndPort);

    public static DesignModelBuilder Builder(
        AllocationPolicy allocation = AllocationPolicy.ByDraw, double budgetWatts = 370, params Supply[] supplies) => new DesignModelBuilder()
        .Measuring(Ieee)
        .LoadCase("night", new DailyWindow(new TimeOnly(19, 0), new TimeOnly(7, 0)))
        .LoadCase("winter", null, 12, 1, 2)
        .LoadCase("paging")
        .DeviceType("ptz", 30, PoeClass.Class6, ("night", 36), ("winter", 48))
        .DeviceType("horn", 9, PoeClass.Class4, ("paging", 24))
        .DeviceType("fixed-camera", 8, PoeClass.Class3, ("night", 11))
        .Switch(Switch, budgetWatts, allocation: allocation, supplies: supplies)
        .Port("quay-west:1/1", 60, PoeType.Type3, PoeClass.Class6, criticality: Criticality.Critical)
        .Port("quay-west:1/2")
        .Port("quay-west:1/3", 90, PoeType.Type4, PoeClass.Class8, criticality: Criticality.High)
        .Port("quay-west:1/4")
        .Device("ptz-01", "ptz", "pole-01")
        .Device("horn-03", "horn", "pole-03")
        .Device("cam-05", "fixed-camera", "pole-05")
        .Device("cam-06", "fixed-camera", "pole-05")
        .Device("cam-07", "fixed-camera", "pole-07")
        .Device("horn-07", "horn", "pole-07")
        .PassThrough("pass-05", "pole-05", managed: true)
        .Injector("inj-07", dataSide: "quay-west:1/4")
        .Extender("ext-07", "pole-07")
        .Cable("quay-west:1/1", "ptz-01", 90)
        .Cable("quay-west:1/2", "horn-03", 70, pairs: 2)
        .Cable("quay-west:1/3", "pass-05", 95)
        .Cable("pass-05:1", "cam-05", 20)
        .Cable("pass-05:2", "cam-06", 30)
        .Cable("inj-07", "ext-07", 80)
        .Cable("ext-07:1", "cam-07", 10)
        .Cable("ext-07:2", "horn-07", 15);

    public static DesignModel Build() => Builder().Build();

    /// <summary>With everything that a script can name: a supply, a UPS with an agent and a thermometer in a cabinet.</summary>
    public static DesignModel Whole() => Builder(supplies: new Supply("a", Power.FromWatts(400)))
        .Ups(Battery(100))
        .Conditions(ConditionPlan.Nothing with { Thermometers = [new Thermometer("in-cabinet", Switch, 1001, null, "Quay")] })
        .Build();

    /// <summary>A UPS of its own agent before the switch, with an inverter of 90 %.</summary>
    public static Ups Battery(double wattHours) =>
        new("ups-1", "ups-1", [Switch], wattHours, Ratio.FromFraction(0.9), Ratio.FromFraction(1), Power.FromWatts(5), null)
        {
            Agent = new SnmpAgent("127.0.0.1", 16_199, "test", TimeSpan.FromMinutes(1), null),
        };
}
