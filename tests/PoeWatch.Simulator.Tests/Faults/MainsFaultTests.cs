using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Tests.Agents;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using static PoeWatch.Simulator.Tests.Support.SmallDesign;

namespace PoeWatch.Simulator.Tests.Faults;

/// <summary>Outages of whole switches and of the site, what comes back how, and shedding while speakers page.</summary>
public sealed class MainsFaultTests
{
    private const string UpTime = "1.3.6.1.2.1.1.3.0";

    [Fact]
    public void What_ran_before_counts_until_its_power_goes()
    {
        var world = new DrivenWorld("at 10s mains of quay-west lost\nat 60s mains of quay-west back", options: new WorldOptions { RanBefore = TimeSpan.FromDays(40) }).GoTo(5);
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(SnmpValue.TimeTicks(345_600_500), manager.Get(UpTime));

        world.GoTo(80);
        Assert.Equal(SnmpValue.TimeTicks(500), manager.Get(UpTime));
    }

    [Fact]
    public void A_switch_without_mains_is_silent_and_all_behind_it_is_dark()
    {
        var world = new DrivenWorld("at 10s mains of quay-west lost\nat 60s mains of quay-west back").GoTo(9);
        var (manager, onPole) = (new Conversation(world.World, Switch), new Conversation(world.World, "pass-05"));
        Assert.True(manager.IsAnswered && onPole.IsAnswered);

        world.GoTo(11);
        Assert.False(manager.IsAnswered || onPole.IsAnswered);
        Assert.All([CameraPort, HornPort, PassThroughPort, new("pass-05", 1, 1)], port => Assert.Equal(Power.Zero, world.Port(port).Draw));
        Assert.True(world.Port(new("inj-07", 1, 1)).Draw > Power.Zero);

        world.GoTo(62);
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
        Assert.False(manager.IsAnswered);

        world.GoTo(80);
        Assert.Equal(SnmpValue.TimeTicks(500), manager.Get(UpTime));
        Assert.Equal(PortState.Delivering, world.StateOf(new("pass-05", 1, 1)));
    }

    [Fact]
    public void Devices_boot_with_more_than_they_draw_and_settle()
    {
        var world = new DrivenWorld("at 10s mains of quay-west lost\nat 60s mains of quay-west back").GoTo(9);
        Assert.InRange(OverDraw(world), 1.0, 1.1);
        // A quarter more, and up to a tenth for the cable.
        Assert.InRange(OverDraw(world.GoTo(60)), 1.25, 1.4);
        Assert.InRange(OverDraw(world.GoTo(65)), 1.25, 1.4);
        Assert.InRange(OverDraw(world.GoTo(149)), 1.25, 1.4);
        Assert.InRange(OverDraw(world.GoTo(152)), 1.0, 1.1);
    }

    [Fact]
    public void A_boot_peak_that_the_design_names_is_drawn_as_long_as_it_says()
    {
        var physical = new PhysicalDemand(Power.FromWatts(4), Power.FromWatts(9), Power.FromWatts(20))
        {
            Takes = PhysicalDemandOf(LoadCondition.ColdStart, 17),
            BootLasts = TimeSpan.FromSeconds(30),
        };
        var design = Builder().DeviceType("horn", physical).Build();
        var world = new DrivenWorld("at 10s element horn-03 unplugged\nat 20s element horn-03 plugged in", design);
        Assert.InRange(world.GoTo(9).Port(HornPort).Draw.Watts, 4, 9);
        Assert.InRange(world.GoTo(45).Port(HornPort).Draw.Watts, 17, 18);
        Assert.InRange(world.GoTo(52).Port(HornPort).Draw.Watts, 4, 9);
    }

    [Fact]
    public void Ports_that_start_one_by_one_come_on_most_critical_first()
    {
        var design = Builder().Group(Switch, group => group with { StartsAtOnce = 1, StartInterval = TimeSpan.FromSeconds(5) }).Build();
        var world = new DrivenWorld("at 10s mains of quay-west lost\nat 60s mains of quay-west back", design).GoTo(9);
        Assert.All([CameraPort, PassThroughPort, HornPort], port => Assert.Equal(PortState.Delivering, world.StateOf(port)));
        Assert.Equal([true, false, false], Fed(world.GoTo(61)));
        Assert.Equal([true, true, false], Fed(world.GoTo(66)));
        Assert.Equal([true, true, true], Fed(world.GoTo(71)));
    }

    [Fact]
    public void The_mains_of_the_site_takes_injectors_too()
    {
        var world = new DrivenWorld("at 10s mains of the site lost\nat 20s mains of the site back").GoTo(11);
        Assert.Equal([Power.Zero, Power.Zero], [world.World.DrawOf(Switch), world.World.DrawOf("inj-07")]);
        world.GoTo(25);
        Assert.All([Switch, "inj-07"], id => Assert.True(world.World.DrawOf(id) > Power.Zero));
    }

    /// <summary>Critical last, low first: RFC 3621 pethPsePortPowerPriority.</summary>
    [Fact]
    public void Paging_while_a_supply_is_lost_sheds_the_speaker_alone()
    {
        var design = Builder(supplies: [new Supply("a", Power.FromWatts(200)), new Supply("b", Power.FromWatts(50))]).Build();
        var world = new DrivenWorld(
            """
            at 10s load-case paging begins
            at 20s supply quay-west:1 a lost
            at 30s load-case paging ends
            at 40s supply quay-west:1 a back
            """,
            design);
        var manager = new Conversation(world.World, Switch);
        Assert.Equal([true, true, true], Fed(world.GoTo(15)));
        Assert.InRange(world.Port(HornPort).Draw.Watts, 22.8, 25);

        // Some 40 W for camera and pole switch leave no 24 W of 50 W for the speaker.
        Assert.Equal([true, true, false], Fed(world.GoTo(25)));
        Assert.Equal(SnmpValue.Gauge32(50), manager.Get("1.3.6.1.2.1.105.1.3.1.1.2.1"));
        Assert.Equal(SnmpValue.Counter32(1), manager.Get("1.3.6.1.2.1.105.1.1.1.12.1.2"));
        Assert.Equal(SnmpValue.Integer32(2), manager.Get("1.3.6.1.2.1.105.1.1.1.6.1.2"));
        Assert.Equal([true, true, true], Fed(world.GoTo(45)));
        Assert.Equal(SnmpValue.Counter32(1), manager.Get("1.3.6.1.2.1.105.1.1.1.12.1.2"));
    }

    private static double OverDraw(DrivenWorld world) =>
        world.Port(CameraPort).Draw / world.World.DrawAt("ptz-01", world.World.Start + world.World.Elapsed);

    private static bool[] Fed(DrivenWorld world) =>
        [.. new[] { CameraPort, PassThroughPort, HornPort }.Select(port => world.StateOf(port) == PortState.Delivering)];

    private static System.Collections.Immutable.ImmutableSortedDictionary<LoadCondition, Power> PhysicalDemandOf(LoadCondition condition, double watts) =>
        System.Collections.Immutable.ImmutableSortedDictionary<LoadCondition, Power>.Empty.Add(condition, Power.FromWatts(watts));
}
