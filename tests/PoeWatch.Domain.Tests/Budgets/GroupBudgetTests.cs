using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Budgets;

/// <summary>What a group sets aside, what its supplies leave, how long its battery lasts.</summary>
public sealed class GroupBudgetTests
{
    private static readonly Power s_limit = Power.FromWatts(33);

    // Class 4 reserves 30 W where nothing else is agreed (Ethernet Alliance, overview of IEEE 802.3bt, class table); class 0 15.4 W (TI TPS2378, Table 1).
    [Theory]
    [InlineData(AllocationPolicy.ByClass, PoeClass.Class4, 30.0)]
    [InlineData(AllocationPolicy.ByClass, PoeClass.Class0, 15.4)]
    [InlineData(AllocationPolicy.ByClass, PoeClass.Class8, 33.0)]
    [InlineData(AllocationPolicy.ByClass, null, 33.0)]
    [InlineData(AllocationPolicy.ByDraw, PoeClass.Class4, 11.0)]
    [InlineData(AllocationPolicy.ByLimit, PoeClass.Class4, 33.0)]
    public void Each_policy_sets_its_own_watts_aside(AllocationPolicy policy, PoeClass? assigned, double watts) =>
        Assert.Equal(watts, PortReserve.Of(policy, assigned, PoeType.Type2, s_limit, Power.FromWatts(11)).Watts);

    [Fact]
    public void By_draw_an_unknown_draw_is_reckoned_by_class_and_never_as_nothing() =>
        Assert.Equal(30.0, PortReserve.Of(AllocationPolicy.ByDraw, PoeClass.Class4, PoeType.Type2, s_limit, drawAtPse: null).Watts);

    [Fact]
    public void Clause_145_reserves_less_for_class_3() =>
        Assert.Equal(14.0, PortReserve.Of(AllocationPolicy.ByClass, PoeClass.Class3, PoeType.Type3, s_limit, null).Watts);

    [Fact]
    public void A_policy_must_be_said() => Assert.Throws<ArgumentOutOfRangeException>(
        () => PortReserve.Of(AllocationPolicy.Unknown, PoeClass.Class4, PoeType.Type2, s_limit, null));

    // Cumulus Networks documentation: one supply of 920 W leaves 750 W for PoE, so the switch takes 170 W; two leave 1650 W there, 1.2 % less than this.
    [Theory]
    [InlineData(1, 750, 0.0)]
    [InlineData(2, 1650, 0.015)]
    public void Supplies_less_the_switch_itself_are_the_published_poe_watts(int count, double poeWatts, double tolerance) => Assert.Equal(
        poeWatts, SupplyPower.ForPorts(SupplyPower.Together(Supplies(Enumerable.Repeat(920.0, count))), Power.FromWatts(170)).Watts, tolerance * poeWatts);

    [Fact]
    public void A_switch_that_takes_all_itself_leaves_nothing_for_its_ports() =>
        Assert.Equal(Power.Zero, SupplyPower.ForPorts(Power.FromWatts(100), Power.FromWatts(170)));

    // N+1: one of the supplies may fail, so the largest one is not counted (common practice, no source).
    [Theory]
    [InlineData(0, 1900)]
    [InlineData(1, 900)]
    [InlineData(2, 300)]
    [InlineData(4, 0)]
    public void The_largest_supplies_are_the_ones_that_are_lost(int lost, double watts) =>
        Assert.Equal(watts, SupplyPower.AfterLossOf(lost, Supplies([600, 1000, 300])).Watts);

    [Fact]
    public void A_budget_falls_with_its_supplies_but_never_rises_with_them()
    {
        var two = Supplies([750, 900]);

        Assert.Equal(740, SupplyPower.BudgetWith(Power.FromWatts(740), two, _ => true).Watts);
        Assert.Equal(750, SupplyPower.BudgetWith(Power.FromWatts(1650), two, supply => supply.Id == "1").Watts);
        Assert.Equal(0, SupplyPower.BudgetWith(Power.FromWatts(1650), two, _ => false).Watts);
        Assert.Equal(370, SupplyPower.BudgetWith(Power.FromWatts(370), [], _ => false).Watts);
    }

    [Fact]
    public void Limits_of_a_group_name_budget_supplies_and_n_plus_1_the_tightest_first()
    {
        var limits = GroupLimits.Of("quay-west", Group(AllocationPolicy.ByClass, [80, 120]), Watts(90), Watts(82)).InOrder;

        Assert.Equal([LimitKind.GroupBudget, LimitKind.Supply, LimitKind.Supply], limits.Select(limit => limit.Kind));
        Assert.Equal([(85.0, 90.0), (80.0, 82.0), (200.0, 82.0)], limits.Select(limit => (limit.LimitValue, limit.Value)));
        Assert.Equal([true, true, false], limits.Select(limit => limit.IsBroken));
        Assert.Equal("Group quay-west:1 sets aside by class 90 W, at most 85 W: 5 W too much.", limits[0].Sentence);
        Assert.Equal("With its largest supply lost (N+1), group quay-west:1 draws 82 W, at most 80 W: 2 W too much.", limits[1].Sentence);
        Assert.Equal("All supplies of group quay-west:1 give 82 W, at most 200 W: 118 W left.", limits[2].Sentence);
    }

    [Theory]
    [InlineData(AllocationPolicy.ByDraw, "Group quay-west:1 draws 85 W, at most 85 W: 0 W left.")]
    [InlineData(AllocationPolicy.ByLimit, "Group quay-west:1 sets aside by configured limit 85 W, at most 85 W: 0 W left.")]
    public void A_limit_that_is_met_exactly_is_not_broken(AllocationPolicy policy, string sentence)
    {
        var only = Assert.Single(GroupLimits.Of("quay-west", Group(policy, []), Watts(85), Watts(85)).InOrder);

        Assert.False(only.IsBroken);
        Assert.Equal(sentence, only.Sentence);
    }

    [Fact]
    public void A_single_supply_has_no_n_plus_1() =>
        Assert.Equal(2, GroupLimits.Of("quay-west", Group(AllocationPolicy.ByDraw, [120]), Watts(1), Watts(1)).InOrder.Length);

    // 500 Wh x 0.9 / 200 W = 2.25 h; an aged battery has 80 % of that; the switch's own draw and its supply come on top (common practice, no source).
    [Fact]
    public void A_battery_of_500_Wh_feeds_200_W_for_two_and_a_quarter_hours()
    {
        Assert.Equal(2.25, UpsRuntime.Of(500, 0.9, Watts(200))!.Value.TotalHours, 1e-9);
        Assert.Equal(1.8, UpsRuntime.Of(500, 0.9, Watts(200), UpsRuntime.AgedBattery)!.Value.TotalHours, 1e-9);
        Assert.Equal(0.75, UpsRuntime.Of(500, 0.3, Watts(200))!.Value.TotalHours, 1e-9);
        Assert.Equal(200, UpsRuntime.LoadOf(Watts(150), Watts(30)).Watts, 1e-9);
        Assert.Null(UpsRuntime.Of(500, 0.9, Power.Zero));
        Assert.Equal(365, UpsRuntime.Of(500, 0.9, Watts(1e-6))!.Value.TotalDays, 1e-9);
    }

    [Theory]
    [InlineData(0.0, 0.9, 1.0)]
    [InlineData(500, 0.0, 1.0)]
    [InlineData(500, 1.1, 1.0)]
    [InlineData(500, double.NaN, 1.0)]
    [InlineData(500, 0.9, 0.0)]
    [InlineData(500, 0.9, 1.01)]
    public void Impossible_batteries_are_refused(double wattHours, double efficiency, double health) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => UpsRuntime.Of(wattHours, efficiency, Watts(200), health));

    [Fact]
    public void An_impossible_supply_is_refused() => Assert.Throws<ArgumentOutOfRangeException>(() => UpsRuntime.LoadOf(Watts(1), Watts(1), 0));

    private static PseGroup Group(AllocationPolicy policy, IEnumerable<double> supplies) =>
        new(1, Watts(100), Watts(15), policy, Supplies(supplies));

    private static ImmutableArray<Supply> Supplies(IEnumerable<double> watts) =>
        [.. watts.Select((rating, at) => new Supply(FormattableString.Invariant($"{at + 1}"), Watts(rating)))];

    private static Power Watts(double watts) => Power.FromWatts(watts);
}
