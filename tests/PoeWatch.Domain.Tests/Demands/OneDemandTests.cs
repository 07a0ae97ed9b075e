using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Placement;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.Domain.Tests.DesignReports;
using PoeWatch.TestKit.Design;
using static PoeWatch.Domain.Tests.Demands.Kinds;

namespace PoeWatch.Domain.Tests.Demands;

/// <summary>
/// Assessment, planner and report ask one sum. Three horns of 3 W, 22 W when they page, and one light of 2 W, 36 W on motion, on cables of a metre: by hand, what a metre loses
/// (r = 0.06679 ohm/m for 23 AWG, HyperPhysics wire table) is below 0.1 W.
/// </summary>
public sealed class OneDemandTests
{
    // One horn pages, a quarter of the lights is struck: 22 + 2 * 3 + 2 + 0.25 * 34 = 38.5 W. Every horn and light at once would be 102 W.
    private const double Worked = 38.5;

    [Fact]
    public void Assessment_planner_and_report_say_the_same_of_a_group_a_switch_and_the_site()
    {
        var design = Quay(AllocationPolicy.ByDraw).Build();
        var plan = DemandPlan.Of(design);
        var watts = plan.Group("quay", 1).Demand.Worst.Watts;
        Assert.InRange(watts.Watts, Worked, Worked + 0.1);

        var assessed = Harbour.Assess(design, new SnapshotBuilder(Harbour.Noon));
        var group = Assert.Single(assessed.Groups);
        Assert.Equal(watts, group.DesignDemand);
        Assert.Equal((watts, watts), (group.Account!.ByDesign.Demand, group.Account.ByDesign.Allocated));
        Assert.Equal(watts, assessed.Demands!.OfGroup("quay", 1).Season.Demand);
        Assert.Equal(watts, assessed.Demands.OfSwitch("quay").Today.Demand);
        Assert.Equal(watts, assessed.Demands.OfSite().Now.Demand);

        Assert.Equal(100 - watts.Watts, GroupRooms.Of(design).Worst("quay", 1)!.OnRuns.Watts, 9);

        var report = PoleSwitchSite.ReportOf(design);
        var sheet = Assert.Single(Assert.Single(report.Switches).Groups);
        Assert.Equal(watts.Watts, Assert.Single(sheet.LoadCases).DemandAtPseW);
        Assert.Equal(watts.Watts, Assert.Single(report.Switches[0].LoadCases).DemandW);
        Assert.Equal(watts.Watts, Assert.Single(report.Totals.LoadCases).ExpectedDemandAtPseW);
        Assert.Equal(watts.Watts, sheet.Reserves.Single(r => r.Allocation == "by-draw").ReserveAtPseW);
    }

    [Fact]
    public void Devices_of_the_site_are_added_up_at_the_same_moment()
    {
        var total = Assert.Single(PoleSwitchSite.ReportOf(Quay(AllocationPolicy.ByDraw).Build()).Totals.LoadCases);

        Assert.Equal(Worked, total.DemandAtPdW, 9);
        Assert.InRange(total.ExpectedOnTheWayW!.Value, 0.001, 0.1);
    }

    [Fact]
    public void A_pole_and_a_port_are_held_to_all_that_can_be_true_on_them()
    {
        var design = Quay(AllocationPolicy.ByDraw).Build();
        var demands = Harbour.Assess(design, new SnapshotBuilder(Harbour.Noon)).Demands!;

        // Two horns on the pole, one of them pages; the light whole.
        Assert.InRange(demands.OfPole("mole")!.Now.Demand.Watts, 25, 25.1);
        Assert.InRange(demands.OfPort(new("quay", 1, 4))!.Now.Demand.Watts, 36, 36.1);
        var poles = PoleSwitchSite.ReportOf(design).Poles.ToDictionary(p => p.PoleId);
        Assert.Equal(25, Assert.Single(poles["mole"].LoadCases).DemandW);
        Assert.Equal("horn-1", poles["mole"].LoadCases[0].WhoPages);
        Assert.Equal(["quay:1/1", "quay:1/2"], poles["mole"].CableRunIds);
    }

    [Fact]
    public void What_is_set_aside_by_class_asks_nobody_who_pages()
    {
        var group = Assert.Single(Harbour.Assess(Quay(AllocationPolicy.ByClass).Build(), new SnapshotBuilder(Harbour.Noon)).Groups);

        // Class 4 is 30 W (Ethernet Alliance, overview of IEEE 802.3bt (2018), class table), class 6 is 60 W.
        Assert.Equal((3 * 30) + 60, group.Account!.ByDesign.Allocated.Watts);
        Assert.InRange(group.Account.ByDesign.Demand.Watts, Worked, Worked + 0.1);
    }

    // Two cameras of 20 W that boot at 24 W for 30 s. One at a time, a minute apart: 24 + 20 W. Both at once: 48 W.
    [Theory]
    [InlineData(null, 48)]
    [InlineData(1, 44)]
    public void A_cold_start_asks_of_each_level_what_the_switch_starts_at_once(int? atOnce, double watts)
    {
        var design = Booting(atOnce).Build();
        var plan = DemandPlan.Of(design);
        PlaceDemand[] levels = [plan.Group("quay", 1).Demand, plan.Switches["quay"], plan.Site];

        Assert.All(levels, level => Assert.InRange(level.Worst.Watts.Watts, watts, watts + 0.1));
    }

    [Fact]
    public void The_stages_of_a_cold_start_stand_in_assessment_and_report()
    {
        // 60 W: the inrush of one port, 0.9 A at 54 V (from memory), on top of a booted camera is 68.6 W. So only one can start.
        var design = Booting(null).Group("quay", group => group with { Budget = Watts(60) }).Build();
        const string Sentence = "Not all ports may start at one moment. Start port 1. No room is left for port 2.";

        var group = Assert.Single(Harbour.Assess(design, new SnapshotBuilder(Harbour.Noon)).Groups);
        Assert.Equal(Sentence, Assert.Single(group.Account!.ByDesign.ColdStarts).Stages.Sentence);

        var start = Assert.Single(PoleSwitchSite.ReportOf(design).Switches[0].Groups[0].ColdStarts);
        Assert.Equal((Sentence, 1, true), (start.Sentence, start.StageCount, start.IsDesigned));
        Assert.Equal([2], start.CannotStartPorts);
    }

    [Fact]
    public void A_port_below_what_its_device_needs_is_a_conflict_of_the_design()
    {
        var design = new DesignModelBuilder().Switch("quay").DeviceType("camera", 10).Port("quay:1/1").Port("quay:1/2")
            .Device("a", "camera").Device("b", "camera", criticality: Criticality.Critical)
            .Cable("quay:1/1", "a", 1).Cable("quay:1/2", "b", 1).Build();

        var report = PoleSwitchSite.ReportOf(design);
        var sheet = report.Switches[0].Groups[0];

        Assert.Equal([("quay:1/2", "quay:1/1")], sheet.PriorityConflicts.Select(c => (c.Port, c.KeptLongerPort)));
        Assert.Equal([("low", "low"), ("low", "critical")], sheet.Ports.Select(p => (p.Priority, p.Criticality)));
        Assert.Equal(["quay:1/2"], Assert.Single(report.Warnings, w => w.Code == "priority-below-need").Elements);
    }

    private static DesignModelBuilder Quay(AllocationPolicy policy)
    {
        var design = new DesignModelBuilder().Switch("quay", 100, allocation: policy).DeviceType("horn", Horn).DeviceType("light", Light, PoeClass.Class6);
        for (var port = 1; port <= 3; port++)
        {
            design.Device($"horn-{port}", "horn", port <= 2 ? "mole" : "head").Port($"quay:1/{port}").Cable($"quay:1/{port}", $"horn-{port}", 1);
        }

        return design.Device("light", "light", "head").Port("quay:1/4", 60, PoeType.Type3, PoeClass.Class6).Cable("quay:1/4", "light", 1)
            .LoadCase(Case("walk", LoadCondition.Motion, LoadCondition.PagingOne).Sharing(LoadCondition.Motion, 0.25));
    }

    private static DesignModelBuilder Booting(int? atOnce)
    {
        var design = new DesignModelBuilder().Switch("quay").DeviceType("camera", Camera, PoeClass.Class6);
        for (var port = 1; port <= 2; port++)
        {
            design.Device($"cam-{port}", "camera").Port($"quay:1/{port}", 60, PoeType.Type3, PoeClass.Class6).Cable($"quay:1/{port}", $"cam-{port}", 1);
        }

        return design.LoadCase(Case("outage", LoadCondition.ColdStart))
            .Group("quay", group => group with { StartsAtOnce = atOnce, StartInterval = TimeSpan.FromMinutes(1) });
    }
}
