using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit.Design;
using static PoeWatch.Domain.Tests.Demands.Kinds;

namespace PoeWatch.Domain.Tests.Demands;

/// <summary>
/// Demand level by level. Cables are a metre long, so that sums can be worked by hand: what a metre loses (r = 0.06679 ohm/m for 23 AWG, HyperPhysics wire table) is below 0.1 W and only bounded here.
/// </summary>
public sealed class DemandPlanTests
{
    private const double Loss = 0.1;

    [Fact]
    public void Paging_to_one_takes_the_worst_speaker_of_each_level_once()
    {
        var plan = DemandPlan.Of(Harbour().LoadCase(Case("one", LoadCondition.PagingOne)).Build());

        // Four horns of 3 W, one of them at 22 W, and the extender's own 2 W.
        AssertAbout(22 + 3 + 2, plan.CableRuns["quay:1/1"].Worst.Watts);
        AssertAbout(22, plan.CableRuns["quay:1/2"].Worst.Watts);
        AssertAbout(22, plan.CableRuns["pier:1/1"].Worst.Watts);
        AssertAbout(22 + (2 * 3) + 2, plan.Switches["quay"].Worst.Watts);
        AssertAbout(22 + (3 * 3) + 2, plan.Site.Worst.Watts);
        Assert.Equal(22 + 3 + 2, plan.Poles["mole"].Worst.Watts.Watts);
        Assert.Equal(LoadCondition.PagingOne, plan.Site.Worst.Paging.Condition);
    }

    [Fact]
    public void Paging_to_a_group_takes_the_worst_group_of_each_level()
    {
        var plan = DemandPlan.Of(Harbour().LoadCase(Case("group", LoadCondition.PagingGroup)).Build());

        // North: one horn at the mole, one at the pier. South: the other at the mole, one at the quay: worst for switch quay, either for the site.
        AssertAbout(22 + 3 + 2, plan.CableRuns["quay:1/1"].Worst.Watts);
        AssertAbout((2 * 22) + 3 + 2, plan.Switches["quay"].Worst.Watts);
        Assert.Equal("south", plan.Switches["quay"].Worst.Paging.Name);
        AssertAbout((2 * 22) + (2 * 3) + 2, plan.Site.Worst.Watts);
    }

    [Fact]
    public void Speakers_without_a_group_page_together()
    {
        var design = new DesignModelBuilder().Switch("quay").Port("quay:1/1").Port("quay:1/2")
            .DeviceType("horn", Horn).Device("a", "horn").Device("b", "horn")
            .Cable("quay:1/1", "a", 1).Cable("quay:1/2", "b", 1)
            .LoadCase(Case("group", LoadCondition.PagingGroup)).Build();

        AssertAbout(44, DemandPlan.Of(design).Site.Worst.Watts);
    }

    [Fact]
    public void Paging_to_all_takes_every_speaker()
    {
        var plan = DemandPlan.Of(Harbour().LoadCase(Case("all", LoadCondition.PagingAll)).Build());

        AssertAbout((4 * 22) + 2, plan.Site.Worst.Watts);
        Assert.Equal(46, plan.Poles["mole"].Worst.Watts.Watts);
    }

    [Fact]
    public void Worst_of_all_cases_is_named()
    {
        var plan = DemandPlan.Of(Harbour().LoadCase(Case("day")).LoadCase(Case("all", LoadCondition.PagingAll)).LoadCase(Case("one", LoadCondition.PagingOne)).Build());

        Assert.Equal("all", plan.Site.Worst.Case.Id);
        Assert.Equal(["day", "all", "one"], plan.Site.ByCase.Select(c => c.Case.Id));
        Assert.Equal(("all", 22.0), (plan.Devices["horn-pier"].Worst.Case.Id, plan.Devices["horn-pier"].Worst.Watts.Watts));
    }

    [Fact]
    public void Coincidence_lowers_the_switch_and_never_a_run_or_a_pole()
    {
        var loadCase = Case("walk", LoadCondition.Motion).Sharing(LoadCondition.Motion, 0.25);
        var design = Lights(loadCase, meters: 1);
        var plan = DemandPlan.Of(design);

        AssertAbout(36, plan.CableRuns["quay:1/1"].Worst.Watts);
        Assert.Equal(36, plan.Poles["mole"].Worst.Watts.Watts);
        AssertAbout(2 * (2 + (0.25 * 34)), plan.Switches["quay"].Worst.Watts);
        AssertAbout(2 * (2 + (0.25 * 34)), plan.Groups.Single().Demand.Worst.Watts);
    }

    [Fact]
    public void Lowered_demand_stays_above_a_flow_solved_for_the_mean_and_below_the_whole()
    {
        var loadCase = Case("walk", LoadCondition.Motion).Sharing(LoadCondition.Motion, 0.5);
        var design = Lights(loadCase, meters: 95);
        var run = design.CableRuns["quay:1/1"];
        double Solved(double watts) => PowerFlowSolver.Solve(
            run, new Dictionary<string, Power> { ["light-1"] = Watts(watts) }, OperatingMode.Expected).DrawAtPse!.Value.Watts;

        var lowered = new RunDemandSolver(run, []).Coincident(loadCase).Worst.Watts;

        Assert.Equal((Solved(2) + Solved(36)) / 2, lowered, 9); // half of the runs struck: the mean of both draws
        Assert.True(lowered > Solved(19) + 0.1, $"{lowered} W against {Solved(19)} W");
    }

    [Fact]
    public void Port_that_is_off_by_plan_needs_nothing_at_any_level()
    {
        var night = new DailyWindow(new TimeOnly(23, 0), new TimeOnly(5, 0));
        var inner = Case("small-hours", LoadCondition.Dark) with { Window = new DailyWindow(new TimeOnly(1, 0), new TimeOnly(3, 0)) };
        var design = Harbour().Schedule("off", night, "quay:1/1").LoadCase(inner).LoadCase(Case("any", LoadCondition.Dark)).Build();

        var plan = DemandPlan.Of(design);

        Assert.Equal([0.0, 8.0], plan.Poles["mole"].ByCase.Select(c => c.Watts.Watts));
        Assert.Equal(Power.Zero, plan.CableRuns["quay:1/1"].ByCase[0].Watts);
        AssertAbout(3, plan.Switches["quay"].ByCase[0].Watts);
        AssertAbout(3 + 8, plan.Switches["quay"].ByCase[1].Watts);
    }

    [Fact]
    public void Run_that_cannot_be_fed_counts_with_its_limit()
    {
        var design = new DesignModelBuilder().Switch("quay").Port("quay:1/1", 30)
            .DeviceType("huge", 400).Device("a", "huge").Cable("quay:1/1", "a", 100).Build();

        Assert.Equal(30, DemandPlan.Of(design).Site.Worst.Watts.Watts);
    }

    [Fact]
    public void Cold_start_of_a_group_boots_in_the_weather_of_its_case()
    {
        var design = new DesignModelBuilder().Switch("quay").Port("quay:1/1", 60, PoeType.Type3, PoeClass.Class6).Port("quay:1/2", 60, PoeType.Type3, PoeClass.Class6)
            .DeviceType("camera", Camera, PoeClass.Class6).Device("a", "camera").Device("b", "camera")
            .Cable("quay:1/1", "a", 1).Cable("quay:1/2", "b", 1)
            .LoadCase(Case("outage", LoadCondition.Cold, LoadCondition.ColdStart)).Build();

        var start = Assert.Single(Assert.Single(DemandPlan.Of(design).Groups).ColdStarts);

        AssertAbout(2 * (24 + 16), start.Demand.WorstBoot.Watts);
        Assert.Equal(2 * 0.9 * 54, start.Demand.WorstInrush.Watts.Watts, 6);
        Assert.Equal("outage", start.Case.Id);
    }

    [Fact]
    public void Design_without_load_cases_reckons_with_everything_at_once()
    {
        var design = new DesignModelBuilder().Switch("quay").Port("quay:1/1", 60, PoeType.Type3, PoeClass.Class6)
            .DeviceType("camera", Camera, PoeClass.Class6).Device("a", "camera").Cable("quay:1/1", "a", 1).Build();

        Assert.Equal(45, DemandPlan.Of(design).Devices["a"].Worst.Watts.Watts);
    }

    private static DesignModel Lights(LoadCase loadCase, double meters) => new DesignModelBuilder().Switch("quay")
        .Port("quay:1/1", 60, PoeType.Type3, PoeClass.Class6).Port("quay:1/2", 60, PoeType.Type3, PoeClass.Class6)
        .DeviceType("light", Light, PoeClass.Class6).Device("light-1", "light", "mole").Device("light-2", "light")
        .Cable("quay:1/1", "light-1", meters).Cable("quay:1/2", "light-2", meters)
        .LoadCase(loadCase).Build();

    // Two switches, an extender with two horns at the mole (one of each group), one horn of each group alone.
    private static DesignModelBuilder Harbour() => new DesignModelBuilder()
        .Switch("quay").Port("quay:1/1", 60, PoeType.Type3, PoeClass.Class6).Port("quay:1/2")
        .Switch("pier").Port("pier:1/1")
        .Extender("ext", "mole", ownDrawWatts: 2)
        .DeviceType("horn", Horn)
        .Device("horn-mole-n", "horn", "mole", pagingGroup: "north").Device("horn-mole-s", "horn", "mole", pagingGroup: "south")
        .Device("horn-quay", "horn", pagingGroup: "south").Device("horn-pier", "horn", pagingGroup: "north")
        .Cable("quay:1/1", "ext", 1).Cable("ext:1", "horn-mole-n", 1).Cable("ext:2", "horn-mole-s", 1)
        .Cable("quay:1/2", "horn-quay", 1).Cable("pier:1/1", "horn-pier", 1);

    private static void AssertAbout(double watts, Power found) =>
        Assert.True(found.Watts >= watts && found.Watts <= watts + Loss, $"{found} found, {watts} W and at most {Loss} W of losses expected");
}
