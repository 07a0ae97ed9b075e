using PoeWatch.Domain.Design;
using PoeWatch.Domain.Placement;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Placement;

/// <summary>A pole with copper to spare behind a group that is full. Loss of a cable: circuit law, P = V·I - I²·R.</summary>
public sealed class GroupRoomTests
{
    [Fact]
    public void A_pole_with_free_copper_behind_a_full_group_says_so()
    {
        // Two cameras of 20 W over a cable without length: 40 W of 45 W.
        var design = Harbour(budget: 45).Build();

        var placement = PlacementPlanner.Poles(design).Single(p => p.PoleId == "pole-1").Roomiest!;
        var fit = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["speaker"]));

        Assert.Equal(LimitKind.GroupBudget, placement.Extra.Binding.Kind);
        Assert.InRange(placement.Extra.Watts.Watts, 4.98, 5.0);
        Assert.False(fit.Fits);
        Assert.StartsWith("In load case design 3", fit.Needs, StringComparison.Ordinal);
        Assert.Contains("W are missing. As it is now: Group quay-west:1 draws", fit.Needs, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_the_group_has_more_than_the_copper_the_run_binds_as_before()
    {
        var (wide, narrow) = (Harbour(budget: 700).Build(), Harbour(budget: 10_000).Build());

        Assert.Equal(PlacementPlanner.Poles(narrow)[0].Roomiest, PlacementPlanner.Poles(wide)[0].Roomiest);
        Assert.Equal(LimitKind.ExtenderOutput, PlacementPlanner.Poles(wide)[0].Roomiest!.Extra.Binding.Kind);
    }

    [Theory]
    [InlineData(SupplyRedundancy.AllNeeded, LimitKind.ExtenderOutput)]
    [InlineData(SupplyRedundancy.NPlusOne, LimitKind.Supply)]
    public void The_largest_supply_counts_as_lost_only_in_an_n_plus_1_group(SupplyRedundancy redundancy, LimitKind binding)
    {
        var design = Harbour(700, new Supply("a", Power.FromWatts(60)), new Supply("b", Power.FromWatts(640)))
            .Group("quay-west", group => group with { Redundancy = redundancy, OwnDraw = Power.FromWatts(10) })
            .Build();

        Assert.Equal(binding, PlacementPlanner.Poles(design)[0].Roomiest!.Extra.Binding.Kind);
    }

    [Fact]
    public void Live_excess_of_another_run_takes_room_from_this_one()
    {
        var design = Harbour(budget: 45).Build();
        var excess = new Dictionary<string, Power> { ["quay-west:1/2"] = Power.FromWatts(3) };

        var (before, after) = (PlacementPlanner.Poles(design)[0].Roomiest!.Extra.Watts, PlacementPlanner.Poles(design, excess)[0].Roomiest!.Extra.Watts);

        Assert.Equal(3, (before - after).Watts, 0.01);
    }

    [Fact]
    public void A_group_that_is_over_already_gives_a_negative_answer_with_what_is_too_much()
    {
        var extra = PlacementPlanner.Poles(Harbour(budget: 30).Build())[0].Roomiest!.Extra;

        Assert.InRange(extra.Watts.Watts, -10.02, -10.0);
        Assert.True(extra.Binding.IsBroken);
    }

    // 20 W + 20 W by class 4 are 60 W set aside (Ethernet Alliance, overview of IEEE 802.3bt, class table): 5 W of 65 W for a free port, 25 W for the runs.
    [Fact]
    public void By_class_a_free_port_has_less_room_than_the_runs()
    {
        var room = GroupRooms.Of(Plain(AllocationPolicy.ByClass, 65).Build()).Worst("quay-west", 1)!;

        Assert.Equal((5.0, LimitKind.GroupBudget), (room.OnFreePort.Watts, room.OnFreePortBinding.Kind));
        Assert.InRange(room.OnRuns.Watts, 24.98, 25.0);
        Assert.Equal("Group quay-west:1 sets aside by class 60 W, at most 65 W: 5 W left.", room.OnFreePortBinding.Sentence);
        Assert.Null(GroupRooms.Of(Plain(AllocationPolicy.ByClass, 65).Build()).Worst("quay-west", 7));
    }

    // The answer is hung there and the whole group solved again: its draw meets the limit to 10 mW; and it never rises with length or load.
    [Fact]
    public void The_answer_meets_the_limit_of_the_group_to_10_mW_and_is_monotone()
    {
        var seed = EvidenceRun.Seed(5);
        var random = new Random(seed);
        var byGroup = 0;
        for (var round = 0; round < 200; round++)
        {
            var (meters, watts, budget) = (random.Next(1, 100), random.Next(3, 21), random.Next(25, 65));
            var design = Harbour(budget, meters, watts).Build();
            var extra = PlacementPlanner.Poles(design, mode: OperatingMode.Expected)[0].Roomiest!.Extra;
            Assert.True(extra.Watts >= PlacementPlanner.Poles(Harbour(budget, meters + 1, watts).Build(), mode: OperatingMode.Expected)[0].Roomiest!.Extra.Watts, $"seed {seed}, round {round}");
            Assert.True(extra.Watts >= PlacementPlanner.Poles(Harbour(budget, meters, watts + 0.5).Build(), mode: OperatingMode.Expected)[0].Roomiest!.Extra.Watts, $"seed {seed}, round {round}");
            if (extra.Binding.Kind != LimitKind.GroupBudget || extra.Watts <= Power.Zero)
            {
                continue;
            }

            byGroup++;
            var (at, above) = (GroupDraw(design, extra.Watts.Watts), GroupDraw(design, extra.Watts.Watts + 0.01));
            Assert.True(at <= budget + 1e-6 && above > budget, $"seed {seed}, round {round}: {at} W, {above} W of {budget} W");
        }

        Assert.True(byGroup >= 50, $"the group bound in {byGroup} of 200 rounds");
    }

    private static double GroupDraw(DesignModel design, double further)
    {
        var demand = design.Devices.Values.ToDictionary(d => d.Id, d => design.DeviceTypes[d.TypeId].Demand);
        demand["ext"] = Power.FromWatts(further);
        return design.CableRuns.Values.Sum(run => PowerFlowSolver.Solve(
            run, demand.Where(d => run.Root.SelfAndBelow().Any(p => p.ElementId == d.Key)).ToDictionary(), OperatingMode.Expected).DrawAtPse!.Value.Watts);
    }

    private static DesignModelBuilder Harbour(double budget, params Supply[] supplies) => Harbour(budget, 0.01, 20, supplies);

    /// <summary>Pole 1 with an extender and a free output on port 1, pole 2 with a camera on port 2.</summary>
    private static DesignModelBuilder Harbour(double budget, double meters, double watts, params Supply[] supplies) => new DesignModelBuilder()
        .Switch("quay-west", budget, supplies: supplies)
        .Port("quay-west:1", 90, PoeType.Type4, PoeClass.Class8).Port("quay-west:2")
        .Extender("ext", "pole-1", ownDrawWatts: 0)
        .DeviceType("camera", watts).DeviceType("speaker", 8, PoeClass.Class3)
        .Device("cam-1", "camera", "pole-1").Device("cam-2", "camera", "pole-2")
        .Cable("quay-west:1", "ext", meters).Cable("ext:1", "cam-1", 0.01).Cable("quay-west:2", "cam-2", 0.01);

    private static DesignModelBuilder Plain(AllocationPolicy allocation, double budget) => new DesignModelBuilder()
        .Switch("quay-west", budget, allocation: allocation).Port("quay-west:1").Port("quay-west:2").DeviceType("camera", 20)
        .Device("cam-1", "camera").Device("cam-2", "camera").Cable("quay-west:1", "cam-1", 0.01).Cable("quay-west:2", "cam-2", 0.01);
}
