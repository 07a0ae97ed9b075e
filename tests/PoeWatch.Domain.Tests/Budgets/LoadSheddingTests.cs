using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit;

namespace PoeWatch.Domain.Tests.Budgets;

/// <summary>
/// The order in which ports lose power. Sources: Juniper, "priority" statement of PoE (low first when a supply fails); HPE ArubaOS-Switch management guide
/// 16.10, "PoE priority" (lowest port number first); Cumulus Networks documentation (one supply of 920 W gives 750 W for PoE, two give 1650 W).
/// </summary>
public sealed class LoadSheddingTests
{
    [Fact]
    public void Nobody_is_dropped_while_all_fit() =>
        Assert.Empty(Plan(750, [.. Class4(1, 12, Criticality.Critical), .. Class4(13, 24, Criticality.Low)]).Dropped);

    [Fact]
    public void The_loss_of_a_supply_drops_low_ports_from_the_highest_number_down()
    {
        var plan = Plan(750, [.. Class4(1, 20, Criticality.Critical), .. Class4(21, 40, Criticality.Low)]);

        Assert.Equal(Enumerable.Range(26, 15).Reverse(), plan.Dropped.Select(p => p.Port));
        Assert.Equal(Enumerable.Range(1, 25), plan.Kept.Select(p => p.Port));
        Assert.Empty(plan.ComingBack);
    }

    [Fact]
    public void Critical_goes_last_high_before_it_and_unknown_with_low()
    {
        var plan = Plan(0,
        [
            new(1, Criticality.Critical, Power.FromWatts(30)), new(2, Criticality.Unknown, Power.FromWatts(30)),
            new(3, Criticality.High, Power.FromWatts(30)), new(4, Criticality.Low, Power.FromWatts(30)),
        ]);

        Assert.Equal([4, 2, 3, 1], plan.Dropped.Select(p => p.Port));
    }

    [Fact]
    public void Critical_is_kept_before_a_lower_number_of_high_priority() => Assert.Equal(
        [2], Plan(30, [new(1, Criticality.High, Power.FromWatts(30)), new(2, Criticality.Critical, Power.FromWatts(30))]).Kept.Select(p => p.Port));

    [Fact]
    public void A_budget_that_is_met_exactly_drops_nobody() => Assert.Empty(Plan(90, [.. Class4(1, 3, Criticality.Low)]).Dropped);

    [Fact]
    public void A_small_port_behind_a_large_one_comes_back()
    {
        var plan = Plan(50, [.. Class4(1, 2, Criticality.Low), new PowerRequest(3, Criticality.Low, Power.FromWatts(15.4))]);

        Assert.Equal([3, 2], plan.Dropped.Select(p => p.Port));
        Assert.Equal([3], plan.ComingBack.Select(p => p.Port));
    }

    [Fact]
    public void What_remains_in_the_end_is_what_would_have_been_fed_from_the_start()
    {
        var seed = EvidenceRun.Seed(7);
        var random = new Random(seed);
        for (var round = 0; round < 500; round++)
        {
            PowerRequest[] ports = [.. Enumerable.Range(1, random.Next(1, 49)).Select(
                port => new PowerRequest(port, (Criticality)random.Next(0, 4), Power.FromWatts(random.Next(0, 91))))];
            var usable = random.Next(-20, 1000);

            var plan = Plan(usable, ports);

            Assert.True(
                PowerSharing.Fed(Power.FromWatts(usable), ports).SetEquals(plan.Kept.Concat(plan.ComingBack).Select(p => p.Port)),
                $"seed {seed}, round {round}");
            Assert.Equal(ports.Length, plan.Dropped.Length + plan.Kept.Length);
        }
    }

    [Fact]
    public void More_budget_never_sheds_more_and_what_is_shed_is_the_end_of_the_order() => EachRandomGroup((random, ports, where) =>
    {
        ShedPlan? before = null;
        foreach (var usable in Enumerable.Range(0, 12).Select(_ => random.Next(-20, 1000)).Order())
        {
            var plan = Plan(usable, ports);
            var order = plan.Kept.Concat(plan.Dropped.Reverse()).ToList();

            Assert.True(order.SequenceEqual(Plan(10_000, ports).Kept), where);
            Assert.True(before is null || (plan.Dropped.Length <= before.Dropped.Length && !plan.Dropped.Except(before.Dropped).Any()), where);
            Assert.True(plan.Kept.Sum(p => p.Reserve.Watts) <= Math.Max(0, usable) + 1e-9, where);
            before = plan;
        }
    });

    [Fact]
    public void The_order_in_which_ports_are_given_is_irrelevant() => EachRandomGroup((random, ports, where) =>
    {
        var usable = random.Next(0, 1000);
        var shuffled = ports.ToArray();
        random.Shuffle(shuffled);

        var (one, other) = (Plan(usable, ports), Plan(usable, shuffled));

        Assert.True(one.Dropped.SequenceEqual(other.Dropped) && one.Kept.SequenceEqual(other.Kept) && one.ComingBack.SequenceEqual(other.ComingBack), where);
    });

    // By definition: some loss of power hits the more critical port first. So each inversion shows as a conflict at one budget at least, and no other port does.
    [Fact]
    public void An_inversion_is_a_conflict_at_some_budget() => EachRandomGroup((random, ports, where) =>
    {
        var designed = ports.ToDictionary(p => p.Port, _ => (Criticality)random.Next(1, 4));
        PowerRequest[] equal = [.. ports.Select(p => p with { Reserve = Power.FromWatts(10) })];
        var atSome = Enumerable.Range(0, ports.Length + 1)
            .SelectMany(kept => LoadShedding.Conflicts(Plan(10 * kept, equal), designed)).Select(c => c.DroppedPort).ToHashSet();

        var found = LoadShedding.Inversions(ports, designed);

        Assert.True(atSome.SetEquals(found.Select(c => c.DroppedPort)), where);
        Assert.All(found, c => Assert.True(designed[c.KeptPort] > designed[c.DroppedPort], where));
    });

    [Fact]
    public void A_switch_left_at_its_default_priority_drops_what_the_design_calls_critical()
    {
        var plan = Plan(60, [.. Class4(1, 4, Criticality.Low)]);

        var conflicts = LoadShedding.Conflicts(
            plan, new Dictionary<int, Criticality> { [1] = Criticality.Low, [2] = Criticality.High, [3] = Criticality.High, [4] = Criticality.Critical });

        Assert.Equal([new ShedConflict(4, 1), new ShedConflict(3, 1)], conflicts);
    }

    [Fact]
    public void A_switch_that_goes_by_the_design_has_no_conflict()
    {
        PowerRequest[] ports = [.. Class4(1, 3, Criticality.Low), .. Class4(4, 4, Criticality.Critical)];

        Assert.Empty(LoadShedding.Conflicts(Plan(60, ports), ports.ToDictionary(p => p.Port, p => p.Criticality)));
        Assert.Empty(LoadShedding.Conflicts(Plan(0, ports), ports.ToDictionary(p => p.Port, p => p.Criticality)));
    }

    [Fact]
    public void A_port_that_comes_back_is_no_conflict()
    {
        var plan = Plan(50, [.. Class4(1, 2, Criticality.Low), new PowerRequest(3, Criticality.Low, Power.FromWatts(15.4))]);

        Assert.Empty(LoadShedding.Conflicts(plan, new Dictionary<int, Criticality> { [3] = Criticality.Critical }));
        Assert.Equal(
            [new ShedConflict(2, 3)], LoadShedding.Conflicts(plan, new Dictionary<int, Criticality> { [2] = Criticality.High, [1] = Criticality.High }));
    }

    private static void EachRandomGroup(Action<Random, PowerRequest[], string> check)
    {
        var seed = EvidenceRun.Seed(11);
        var random = new Random(seed);
        for (var round = 0; round < 300; round++)
        {
            PowerRequest[] ports = [.. Enumerable.Range(1, random.Next(1, 49)).Select(
                port => new PowerRequest(port, (Criticality)random.Next(0, 4), Power.FromWatts(random.Next(1, 91))))];
            check(random, ports, $"seed {seed}, round {round}");
        }
    }

    private static IEnumerable<PowerRequest> Class4(int first, int last, Criticality criticality) =>
        Enumerable.Range(first, last - first + 1).Select(port => new PowerRequest(port, criticality, Power.FromWatts(30)));

    private static ShedPlan Plan(double usableWatts, PowerRequest[] fed) => LoadShedding.Of(Power.FromWatts(usableWatts), fed);
}
