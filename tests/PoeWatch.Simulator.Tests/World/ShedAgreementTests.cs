using System.Collections.Frozen;
using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Simulator.Tests.World;

/// <summary>
/// What the assessment says a PSE would drop is what the simulated PSE then drops. Sources of the published cases: Juniper, "priority" and "guard-band"
/// statements of PoE (low first); HPE ArubaOS-Switch management guide 16.10, "PoE priority" (lowest port number first); Cumulus Networks documentation (one
/// supply gives 750 W for PoE, two give 1650 W); 30 W for class 4: Ethernet Alliance, overview of IEEE 802.3bt (2018).
/// </summary>
public sealed class ShedAgreementTests
{
    private const string Pse = "quay-west";

    // Supply loss 1650 -> 750 W, 24 ports of 30 W set aside by class: 720 W, all stay.
    [Fact]
    public void The_loss_of_a_supply_that_still_covers_the_allocation_sheds_nobody() => Agrees(
        Class4(24, port => port <= 12 ? Criticality.Critical : Criticality.Low, 1650, [900, 750]), Enumerable.Range(1, 24));

    // The same with 40 ports, 1 to 20 critical: lowest priority and highest number first until 750 W, so 1 to 25 remain.
    [Fact]
    public void The_loss_of_a_supply_sheds_the_lowest_priority_and_the_highest_port_first() => Agrees(
        Class4(40, port => port <= 20 ? Criticality.Critical : Criticality.Low, 1650, [900, 750]), Enumerable.Range(1, 25));

    // 100 W, four class 4 ports: three are fed; the fourth where it is critical; two under a guard band of 15 W.
    [Theory]
    [InlineData(Criticality.Low, 0, new[] { 1, 2, 3 })]
    [InlineData(Criticality.Critical, 0, new[] { 1, 2, 4 })]
    [InlineData(Criticality.Low, 15, new[] { 1, 2 })]
    public void A_budget_of_100_W_feeds_those_that_the_order_says(Criticality fourth, double guardBand, int[] fed)
    {
        var design = Class4(4, port => port == 4 ? fourth : Criticality.Low, 100, [], guardBand).Build();
        var world = new DrivenWorld(design: design).GoTo(5);

        Assert.Equal(fed, Delivering(world));
        var account = Account(world);
        Assert.Equal(30 * fed.Length, account.Allocated.Watts!.Value.Watts, 9);
        Assert.Equal(100 - guardBand - (30 * fed.Length), account.AllocationHeadroom!.Value.Watts, 9);
        Assert.Equal(fed, account.Shedding.On(Power.FromWatts(100 - guardBand)).Kept.Select(r => r.Port).Order());
        Assert.Equal(120, account.ByDesign.Requested.Watts, 9);
    }

    [Fact]
    public void Plan_and_simulated_PSE_agree_on_random_groups()
    {
        var random = new Random(DrivenWorld.Seed);
        var (dropped, cameBack) = (0, 0);
        for (var round = 0; round < 60; round++)
        {
            var policy = (AllocationPolicy)random.Next(1, 4);
            var (builder, script) = RandomGroup(random, policy);
            var world = new DrivenWorld($"{script}\nat 8s supply {Pse}:1 a lost", builder.Build()).GoTo(7);
            var plan = Account(world).Shedding.AfterLoss!;

            var before = Delivering(world);
            world.GoTo(9);

            var expected = plan.Kept.Concat(plan.ComingBack).Select(r => r.Port).Order().ToList();
            Assert.True(expected.SequenceEqual(Delivering(world).Intersect(before)), $"round {round}, {policy}: plan {string.Join(' ', expected)}");
            dropped += plan.Dropped.IsEmpty ? 0 : 1;
            cameBack += plan.ComingBack.IsEmpty ? 0 : 1;
        }

        Assert.True(dropped >= 20 && cameBack >= 5, $"{dropped} groups dropped ports, in {cameBack} some came back");
    }

    // Somebody set the critical port 4 to low and the others to high: what the assessment warns of happens when the supply is lost.
    [Fact]
    public void A_conflict_that_is_told_is_what_happens()
    {
        var builder = Class4(4, port => port == 4 ? Criticality.Critical : Criticality.Low, 150, [80, 60]);
        var script = string.Join('\n', new[] { "1 priority high", "2 priority high", "3 priority high", "4 priority low" }.Select(p => $"at 0s port {Pse}:1/{p}"));
        var world = new DrivenWorld($"{script}\nat 10s supply {Pse}:1 s1 lost", builder.Build()).GoTo(8);
        var shedding = Account(world).Shedding;

        Assert.Equal([(4, 2)], shedding.Conflicts.Select(c => (c.DroppedPort, c.KeptPort)));
        Assert.Equal([4], shedding.Inversions.Select(c => c.DroppedPort));

        Assert.Equal([1, 2], Delivering(world.GoTo(12)));
    }

    private static (DesignModelBuilder Builder, string Script) RandomGroup(Random random, AllocationPolicy policy)
    {
        var ports = random.Next(2, 13);
        var builder = new DesignModelBuilder().Measuring(SmallDesign.Ieee)
            .Switch(Pse, 5000, random.Next(0, 20), allocation: policy, supplies: [Supply("a", 900), Supply("b", random.Next(20, 120))]);
        var script = new List<string>();
        for (var port = 1; port <= ports; port++)
        {
            var poeClass = (PoeClass)random.Next(1, 5);
            builder.DeviceType($"type-{port}", 1, poeClass)
                .Device($"dev-{port}", $"type-{port}")
                .Port($"{Pse}:{port}", criticality: (Criticality)random.Next(1, 4))
                .Cable($"{Pse}:{port}", $"dev-{port}", random.Next(5, 90));
            var draw = PoeTables.LimitsOf(poeClass, PoeType.Type2).PdMaximumInput.Watts * (0.1 + (0.9 * random.NextDouble()));
            script.Add($"at 0s port {Pse}:1/{port} priority {((Criticality)random.Next(1, 4)).ToString().ToLowerInvariant()}");
            script.Add(string.Create(CultureInfo.InvariantCulture, $"at 0s device dev-{port} draws {draw:0.00}W"));
        }

        return (builder, string.Join('\n', script));
    }

    private static void Agrees(DesignModelBuilder builder, IEnumerable<int> remaining)
    {
        var world = new DrivenWorld($"at 10s supply {Pse}:1 s1 lost", builder.Build()).GoTo(8);
        var plan = Account(world).Shedding.AfterLoss!;

        world.GoTo(12);

        Assert.Equal(remaining, Delivering(world));
        Assert.Equal(remaining, plan.Kept.Concat(plan.ComingBack).Select(r => r.Port).Order());
    }

    private static DesignModelBuilder Class4(
        int ports, Func<int, Criticality> criticality, double budgetWatts, double[] supplies, double guardBandWatts = 0)
    {
        var builder = new DesignModelBuilder().Measuring(SmallDesign.Ieee).DeviceType("camera", 9)
            .Switch(Pse, budgetWatts, guardBandWatts, allocation: AllocationPolicy.ByClass, supplies: [.. supplies.Select((watts, at) => Supply($"s{at + 1}", watts))]);
        for (var port = 1; port <= ports; port++)
        {
            builder.Device($"cam-{port}", "camera").Port($"{Pse}:{port}", criticality: criticality(port)).Cable($"{Pse}:{port}", $"cam-{port}", 30);
        }

        return builder;
    }

    private static Supply Supply(string id, double watts) => new(id, Power.FromWatts(watts));

    private static IEnumerable<int> Delivering(DrivenWorld world) => world.World.Look(Pse)!.Groups.Single().Ports
        .Where(port => port.State == PortState.Delivering).Select(port => port.Ref.Port).Order().ToList();

    /// <summary>The group as a service would see it that has just polled the simulated agent.</summary>
    private static GroupAccount Account(DrivenWorld world)
    {
        var now = world.Time.GetUtcNow();
        var ports = world.World.Look(Pse)!.Groups.Single().Ports.Select(port => port.State == PortState.Delivering
            ? new PortReading(port.Ref, port.State, port.Draw, Provenance.Measured, port.AssignedClass) { Priority = port.Criticality }
            : new PortReading(port.Ref, port.State, Power.Zero, Provenance.Off, null) { Priority = port.Criticality });
        var reading = new SwitchReading(Pse, 1, now, PollOutcome.Answered, "", TimeSpan.FromMinutes(1), [.. ports], []);
        var readings = new Dictionary<string, SwitchReading> { [Pse] = reading }.ToFrozenDictionary();
        return SiteAssessor.Assess(DesignAnalysis.Of(world.Design), new NetworkSnapshot(now, readings, readings)).Groups.Single().Account!;
    }
}
