using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Budgets;

/// <summary>
/// How a group starts after an outage. An inrush of 0.45 A at 54 V is 24.3 W a pairset (IEEE 802.3, from memory); that inrush and boot peaks together stay
/// under the supply is common practice, no source.
/// </summary>
public sealed class ColdStartTests
{
    private static readonly Voltage s_volts = Voltage.FromVolts(54);

    [Fact]
    public void Ten_ports_start_at_once_where_their_inrush_fits()
    {
        var plan = Plan(budget: 300, supply: 243, Ports(10, boot: 20, settled: 10));

        Assert.True(plan.IsAtOnce);
        Assert.Equal(243, plan.WorstAtOnce.Watts, 9);
        Assert.Equal(Enumerable.Range(1, 10), Assert.Single(plan.Stages));
    }

    [Fact]
    public void A_watt_less_makes_it_two_stages_and_the_lowest_ports_go_first()
    {
        var plan = Plan(budget: 300, supply: 242, Ports(10, boot: 20, settled: 10));

        Assert.False(plan.IsAtOnce);
        Assert.Equal(["1 2 3 4 5 6 7 8 9", "10"], Text(plan));
        Assert.Empty(plan.CannotStart);
    }

    [Fact]
    public void Boot_peaks_are_held_against_the_budget()
    {
        // Three boot at 20 W each within 60 W; once they have settled at 10 W each, one more boots on top of 30 W and one on top of 40 W.
        var plan = Plan(budget: 60, supply: 1000, Ports(6, boot: 20, settled: 10));

        Assert.Equal(["1 2 3", "4", "5"], Text(plan));
        Assert.Equal([6], plan.CannotStart);
    }

    [Fact]
    public void Critical_starts_first()
    {
        StartDemand[] ports = [.. Ports(3, boot: 20, settled: 10), new(4, Criticality.Critical, PoeClass.Class3, Power.FromWatts(20), Power.FromWatts(10))];

        Assert.Equal(4, Plan(budget: 20, supply: 1000, ports).Stages[0][0]);
    }

    [Fact]
    public void Four_pair_classes_take_twice_the_inrush() => Assert.Equal(
        97.2, Plan(500, 500, [new(1, Criticality.Low, PoeClass.Class8, Power.FromWatts(80), Power.FromWatts(70)), new(2, Criticality.Low, PoeClass.Class5, default, default)]).WorstAtOnce.Watts, 9);

    [Fact]
    public void What_fits_on_top_of_nothing_is_told_apart_from_what_does_not()
    {
        var plan = Plan(budget: 25, supply: 25, Ports(3, boot: 15, settled: 12));

        Assert.Equal(["1"], Text(plan));
        Assert.Equal([2, 3], plan.CannotStart);
    }

    [Fact]
    public void Nothing_to_start_starts_at_once() => Assert.True(Plan(100, 100, []).IsAtOnce);

    [Fact]
    public void More_supply_never_takes_more_stages()
    {
        var before = int.MaxValue;
        for (var watts = 100; watts <= 1200; watts += 50)
        {
            var plan = Plan(1200, watts, Ports(24, boot: 12, settled: 3));
            Assert.Empty(plan.CannotStart);
            Assert.True(plan.Stages.Length <= before, $"{watts} W");
            before = plan.Stages.Length;
        }

        Assert.Equal(1, before);
    }

    private static IEnumerable<string> Text(ColdStartPlan plan) => plan.Stages.Select(stage => string.Join(' ', stage));

    private static IEnumerable<StartDemand> Ports(int count, double boot, double settled) => Enumerable.Range(1, count)
        .Select(port => new StartDemand(port, Criticality.Low, PoeClass.Class3, Power.FromWatts(boot), Power.FromWatts(settled)));

    private static ColdStartPlan Plan(double budget, double supply, IEnumerable<StartDemand> ports) => ColdStart.Of(
        new PseGroup(1, Power.FromWatts(budget), Power.Zero, AllocationPolicy.ByDraw, [new Supply("a", Power.FromWatts(supply))]), s_volts, ports);
}
