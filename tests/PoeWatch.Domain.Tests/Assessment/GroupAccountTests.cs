using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Assessment;

/// <summary>
/// A group of four class 4 cameras, watched. 30 W for class 4: Ethernet Alliance, overview of IEEE 802.3bt (2018), class table. The order of shedding: Juniper,
/// "priority" statement of PoE; HPE ArubaOS-Switch management guide 16.10, "PoE priority".
/// </summary>
public sealed class GroupAccountTests
{
    [Theory]
    [InlineData(AllocationPolicy.ByClass, 120.0, 20.0, Provenance.ClassBound)]
    [InlineData(AllocationPolicy.ByDraw, 42.0, 98.0, Provenance.Measured)]
    [InlineData(AllocationPolicy.ByLimit, 120.0, 20.0, Provenance.Design)]
    public void Capacity_guard_band_allocated_drawn_and_requested_stand_apart(AllocationPolicy policy, double allocated, double headroom, Provenance provenance)
    {
        var group = Assess(Design(policy, 150, guardBand: 10), Fed(12, 10, 10, 10));

        Assert.Equal((150.0, 10.0, 42.0), (group.Budget.Watts, group.Account!.GuardBand.Watts, group.Draw.Watts!.Value.Watts));
        Assert.Equal((allocated, provenance), (group.Account.Allocated.Watts!.Value.Watts, group.Account.Allocated.Provenance));
        Assert.Equal((headroom, 98.0), (group.Account.AllocationHeadroom!.Value.Watts, group.DrawHeadroom!.Value.Watts));
        Assert.Equal(120, group.Account.ByDesign.Requested.Watts);
        Assert.Equal(LimitKind.GroupBudget, group.Account.Limits!.Binding.Kind);
        Assert.Equal(headroom, group.Account.Limits.Binding.LimitValue - group.Account.Limits.Binding.Value, 9);
    }

    [Fact]
    public void Of_a_silent_switch_nothing_is_known_but_its_design()
    {
        var account = Assess(Design(AllocationPolicy.ByClass, 150), new SnapshotBuilder(Harbour.Noon).NotAnswered("quay-west")).Account!;

        Assert.Equal((KnownPower.Nothing, null, null), (account.Allocated, account.AllocationHeadroom, account.Limits));
        Assert.Equal(120, account.ByDesign.Allocated.Watts);
        Assert.False(account.Shedding.IsPriorityKnown);
    }

    [Fact]
    public void By_draw_a_port_whose_draw_is_unknown_counts_by_class_and_only_as_a_ceiling()
    {
        var ports = Fed(12, 10, 10);
        var account = Assess(Design(AllocationPolicy.ByDraw, 150), [.. ports, new PortReading(Ref(4), PortState.Delivering, null, Provenance.Unknown, PoeClass.Class4)]).Account!;

        Assert.Equal((62.0, Provenance.ClassBound), (account.Allocated.Watts!.Value.Watts, account.Allocated.Provenance));
        Assert.Null(account.Limits);
    }

    [Theory]
    [InlineData(SupplyRedundancy.AllNeeded, 150, "Group quay-west:1 draws 42 W, at most 150 W: 108 W left.")]
    [InlineData(SupplyRedundancy.NPlusOne, 150, "With its largest supply lost (N+1), group quay-west:1 draws 42 W, at most 40 W: 2 W too much.")]
    [InlineData(SupplyRedundancy.AllNeeded, 160, "All supplies of group quay-west:1 give 42 W, at most 155 W: 113 W left.")]
    public void The_binding_limit_is_named_in_a_sentence(SupplyRedundancy redundancy, double budget, string sentence)
    {
        // 90 W and 115 W less the switch's own 50 W: 155 W together, 40 W with the larger one lost.
        var design = Design(AllocationPolicy.ByDraw, budget, redundancy: redundancy, ownDraw: 50, supplies: [90, 115]);

        Assert.Equal(sentence, Assess(design, Fed(12, 10, 10, 10)).Account!.Limits!.Binding.Sentence);
    }

    [Fact]
    public void The_plan_for_a_lost_supply_goes_by_the_configured_priority_and_is_held_against_the_design()
    {
        // The design calls 4 critical; somebody left it at low and set 1 to critical. 60 W are left of 120 W by class.
        var design = Design(AllocationPolicy.ByClass, 150, supplies: [60, 90], criticality: port => port == 4 ? Criticality.Critical : Criticality.Low);
        var readings = Fed(12, 10, 10, 10).Select(p => p with { Priority = p.Port.Port == 1 ? Criticality.Critical : Criticality.Low });

        var shedding = Assess(design, [.. readings]).Account!.Shedding;

        Assert.Equal([4, 3, 2, 1], shedding.Order.Select(p => p.Port));
        Assert.Equal(60, shedding.UsableAfterLoss!.Value.Watts);
        Assert.Equal([4, 3], shedding.AfterLoss!.Dropped.Select(p => p.Port));
        Assert.Equal([(4, 2)], shedding.Conflicts.Select(c => (c.DroppedPort, c.KeptPort)));
        Assert.Equal([4], shedding.Inversions.Select(c => c.DroppedPort));
        Assert.Equal([1, 2, 3], shedding.On(Power.FromWatts(100)).Kept.Select(p => p.Port));
    }

    [Fact]
    public void A_priority_that_was_not_read_is_taken_from_the_design_and_says_nothing_of_the_switch()
    {
        var design = Design(AllocationPolicy.ByClass, 150, supplies: [60, 90], criticality: port => port == 4 ? Criticality.Critical : Criticality.Low);

        var shedding = Assess(design, Fed(12, 10, 10, 10)).Account!.Shedding;

        Assert.Equal([3, 2, 1, 4], shedding.Order.Select(p => p.Port));
        Assert.False(shedding.IsPriorityKnown);
        Assert.Empty(shedding.Inversions);
        Assert.Empty(shedding.Conflicts);
    }

    // 500 Wh, 0.9, 200 W: 2.25 h (common practice, no source). The ports draw 150 W, the switch itself 30 W over supplies of 90 %.
    [Fact]
    public void A_UPS_lasts_by_the_draw_of_now_and_by_the_worst_demand_that_can_still_come()
    {
        var design = new DesignModelBuilder().DeviceType("heater", 20, PoeClass.Class6, ("frost", 50)).LoadCase("mild").LoadCase("frost")
            .Switch("quay-west", 400);
        for (var port = 1; port <= 3; port++)
        {
            design.Device($"cam-{port}", "heater").Port($"quay-west:{port}", 60, PoeType.Type3, PoeClass.Class6).Cable($"quay-west:{port}", $"cam-{port}", 1);
        }

        var model = design.Group("quay-west", group => group with { OwnDraw = Power.FromWatts(30) })
            .Ups(new Ups("ups-1", "Battery", ["quay-west"], 500, Ratio.FromFraction(0.9), Ratio.FromFraction(1), Power.Zero, TimeSpan.FromHours(2.3)))
            .Build();

        var ups = Assert.Single(Harbour.Assess(model, Answered(Fed(50, 50, 50))).UpsUnits);

        Assert.Equal((200.0, Provenance.Measured), (Math.Round(ups.Load.Watts!.Value.Watts, 9), ups.Load.Provenance));
        Assert.Equal(2.25, ups.Runtime!.Value.TotalHours, 9);
        Assert.Equal("frost", ups.WorstLoadCaseId);
        Assert.InRange(ups.WorstLoad.Watts, 200.0, 200.5); // 150 W at the devices and the loss of 1 m of cable.
        Assert.True(ups.IsShortByDesign);
        Assert.Null(Harbour.Assess(model, new SnapshotBuilder(Harbour.Noon)).UpsUnits[0].Runtime);
    }

    [Fact]
    public void What_hangs_behind_a_port_makes_it_as_critical_as_its_most_critical_device()
    {
        var design = Harbour.Design().Device("cam-1", "camera", "pole-1", Criticality.Critical).Build();

        var account = SiteAssessor.Assess(DesignAnalysis.Of(design), Harbour.AsDesigned(Harbour.Noon).Build()).Groups.First(g => g.PseId == "quay-west").Account!;

        Assert.Equal([(2, Criticality.Low), (1, Criticality.Critical)], account.Shedding.Order.Select(p => (p.Port, p.Designed)));
    }

    private static DesignModel Design(
        AllocationPolicy policy,
        double budget,
        double guardBand = 0,
        SupplyRedundancy redundancy = SupplyRedundancy.AllNeeded,
        double ownDraw = 0,
        double[]? supplies = null,
        Func<int, Criticality>? criticality = null)
    {
        var builder = new DesignModelBuilder().DeviceType("camera", 10).Switch(
            "quay-west", budget, guardBand, allocation: policy, supplies: [.. (supplies ?? []).Select((watts, at) => new Supply($"s{at}", Power.FromWatts(watts)))]);
        for (var port = 1; port <= 4; port++)
        {
            builder.Device($"cam-{port}", "camera").Port($"quay-west:{port}", criticality: criticality?.Invoke(port) ?? Criticality.Low)
                .Cable($"quay-west:{port}", $"cam-{port}", 40);
        }

        return builder.Group("quay-west", group => group with { Redundancy = redundancy, OwnDraw = Power.FromWatts(ownDraw) }).Build();
    }

    private static GroupAssessment Assess(DesignModel design, params PortReading[] ports) => Assess(design, Answered(ports));

    private static GroupAssessment Assess(DesignModel design, SnapshotBuilder snapshot) => Assert.Single(Harbour.Assess(design, snapshot).Groups);

    private static SnapshotBuilder Answered(PortReading[] ports) => new SnapshotBuilder(Harbour.Noon).Answered("quay-west", Harbour.Fresh, ports);

    private static PortReading[] Fed(params double[] watts) =>
        [.. watts.Select((w, at) => SnapshotBuilder.Delivering($"quay-west:{at + 1}", w, assigned: PoeClass.Class4))];

    private static PsePortRef Ref(int port) => new("quay-west", 1, port);
}
