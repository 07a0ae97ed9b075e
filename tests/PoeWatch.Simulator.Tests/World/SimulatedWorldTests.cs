using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Tests.Support;
using static PoeWatch.Simulator.Tests.Support.SmallDesign;

namespace PoeWatch.Simulator.Tests.World;

/// <summary>PSEs over time: feeding, metering, policing, denying, shedding; and that looking does not change the world.</summary>
public sealed class SimulatedWorldTests
{
    /// <summary>Demotion takes the steps 8, 6, 4, 3 (onsemi NCP1095 board manual, p. 2): a PSE that grants class 7 answers a PD of class 8 with class 6.</summary>
    [Theory]
    [InlineData(7, 6)]
    [InlineData(6, 6)]
    [InlineData(5, 4)]
    [InlineData(4, 4)]
    public void A_class_8_device_is_demoted_in_the_standards_steps(int grants, int assigned)
    {
        var world = new DrivenWorld($"at 1s port quay-west:1/3 grants class {grants}").GoTo(3);
        Assert.Equal((PoeClass)assigned, world.ClassOf(SmallDesign.PassThroughPort));
    }

    [Fact]
    public void Every_designed_port_delivers_soon_after_the_start()
    {
        var world = new DrivenWorld().GoTo(5);
        Assert.All([CameraPort, HornPort, PassThroughPort, new("pass-05", 1, 1), new("pass-05", 1, 2)],
            port => Assert.Equal(PortState.Delivering, world.StateOf(port)));
        Assert.Equal(PortState.Searching, world.StateOf(DataSidePort));
        Assert.True(world.Port(DataSidePort).IsLinkUp);
    }

    [Fact]
    public void What_a_port_gives_covers_what_its_devices_take_and_little_more()
    {
        var world = new DrivenWorld().GoTo(20);
        var at = world.World.Start + world.World.Elapsed;
        foreach (var (port, device) in new[] { (CameraPort, "ptz-01"), (HornPort, "horn-03") })
        {
            var drawAtPd = world.World.DrawAt(device, at);
            var drawAtPse = world.Port(port).Draw;
            Assert.InRange(drawAtPse / drawAtPd, 1.0001, 1.15);
        }

        // Two cameras of 4 to 7 W each, 6 W of the switch itself and 8 % of conversion.
        var cameras = world.World.DrawAt("cam-05", at) + world.World.DrawAt("cam-06", at);
        Assert.True(world.Port(PassThroughPort).Draw > (cameras / 0.92) + Power.FromWatts(6));
        Assert.True(world.World.DrawOf("pass-05") > cameras);
    }

    [Fact]
    public void The_group_draws_what_its_ports_draw_together()
    {
        var world = new DrivenWorld("at 3s port quay-west:1/6 carries 8.25 W class 3").GoTo(20);
        var group = world.World.Look(Switch)!.Groups.Single();
        Assert.Equal(group.Ports.Sum(port => port.Draw.Watts), group.Draw.Watts, 9);
        Assert.Equal(8.25, world.Port(new(Switch, 1, 6)).Draw.Watts, 9);
        Assert.True(group.Draw.Watts > 30);
    }

    [Fact]
    public void Looking_seldom_shows_what_looking_often_shows()
    {
        const string Script = """
            at 5s  device horn-03 draws 45 W
            at 40s port quay-west:1/6 carries 20 W class 4
            at 90s device horn-03 draws as usual
            at 95s port quay-west:1/7 trouble short
            """;
        var often = new DrivenWorld(Script).GoTo(200);
        var seldom = new DrivenWorld(Script);
        seldom.Time.Advance(TimeSpan.FromSeconds(200));
        Assert.Equal(
            often.World.Look(Switch)!.Groups.SelectMany(group => group.Ports),
            seldom.World.Look(Switch)!.Groups.SelectMany(group => group.Ports));
        Assert.True(seldom.Port(HornPort).Counters.Overload > 10);
    }

    [Fact]
    public void A_world_left_alone_for_days_comes_back_at_once()
    {
        var world = new DrivenWorld();
        world.Time.Advance(TimeSpan.FromDays(30));
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
    }

    [Fact]
    public void A_port_over_its_limit_trips_waits_and_tries_again()
    {
        // 30 W at the port, 29 W at the horn: the cable's loss takes it over.
        var world = new DrivenWorld("at 10s device horn-03 draws 29 W\nat 60s device horn-03 draws as usual").GoTo(9);
        Assert.Equal(PortState.Delivering, world.StateOf(HornPort));
        world.GoTo(10);
        Assert.Equal(PortState.Searching, world.StateOf(HornPort));
        Assert.Equal(1u, world.Port(HornPort).Counters.Overload);
        Assert.Equal(0, world.Port(HornPort).MeteredMilliwatts);
        world.GoTo(20);
        // One retry every two seconds of error delay.
        Assert.Equal(6u, world.Port(HornPort).Counters.Overload);
        world.GoTo(63);
        Assert.Equal(PortState.Delivering, world.StateOf(HornPort));
    }

    [Fact]
    public void A_device_just_within_the_limit_stays_on()
    {
        var world = new DrivenWorld("at 10s device horn-03 draws 27 W").GoTo(30);
        Assert.Equal(PortState.Delivering, world.StateOf(HornPort));
        Assert.InRange(world.Port(HornPort).Draw.Watts, 27, 30);
    }

    [Fact]
    public void More_than_the_cable_can_carry_trips_too()
    {
        var design = Builder().Port("quay-west:1/2", 99, PoeType.Type4, PoeClass.Class8).Build();
        var world = new DrivenWorld("at 5s device horn-03 draws 900 W", design).GoTo(6);
        Assert.Equal(PortState.Searching, world.StateOf(HornPort));
        Assert.Equal(1u, world.Port(HornPort).Counters.Overload);
    }

    [Fact]
    public void A_lower_grant_polices_at_the_class_that_was_granted()
    {
        // Class 4 grants 30 W at the PSE (Ethernet Alliance, overview of IEEE 802.3bt, 2018, class table); the camera needs more.
        var world = new DrivenWorld("at 0s device ptz-01 draws 34 W\nat 10s port quay-west:1/1 grants class 4").GoTo(9);
        Assert.Equal(PoeClass.Class6, world.ClassOf(CameraPort));
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
        world.GoTo(10);
        Assert.Equal(PoeClass.Class4, world.ClassOf(CameraPort));
        Assert.Equal(PortState.Searching, world.StateOf(CameraPort));
    }

    [Fact]
    public void An_unplugged_device_counts_as_lost_signature_once()
    {
        var world = new DrivenWorld("at 10s element horn-03 unplugged\nat 30s element horn-03 plugged in").GoTo(25);
        Assert.Equal(PortState.Searching, world.StateOf(HornPort));
        Assert.Equal(1u, world.Port(HornPort).Counters.MpsAbsent);
        Assert.False(world.Port(HornPort).IsLinkUp);
        Assert.Equal(PortState.Delivering, world.GoTo(31).StateOf(HornPort));
    }

    [Theory]
    [InlineData("fault", PortState.Fault)]
    [InlineData("off", PortState.Disabled)]
    [InlineData("short", PortState.Searching)]
    [InlineData("signature", PortState.Searching)]
    public void A_port_in_trouble_gives_nothing_and_says_so(string trouble, PortState shown)
    {
        var world = new DrivenWorld($"at 10s port quay-west:1/2 trouble {trouble}\nat 40s port quay-west:1/2 trouble none").GoTo(20);
        Assert.Equal(shown, world.StateOf(HornPort));
        Assert.Equal(Power.Zero, world.Port(HornPort).Draw);
        Assert.Equal(trouble == "short" ? 6u : 0u, world.Port(HornPort).Counters.Short);
        Assert.Equal(trouble == "signature" ? 6u : 0u, world.Port(HornPort).Counters.InvalidSignature);
        Assert.Equal(PortState.Delivering, world.GoTo(43).StateOf(HornPort));
    }

    [Fact]
    public void A_schedule_switches_its_port_off_in_the_sites_own_time()
    {
        // 12:00 UTC is 14:00 in Oslo in July.
        var design = Builder().InZone("Europe/Oslo").Schedule("siesta", new DailyWindow(new(14, 1), new(14, 3)), "quay-west:1/2").Build();
        var world = new DrivenWorld(design: design).GoTo(59);
        Assert.Equal(PortState.Delivering, world.StateOf(HornPort));
        Assert.Equal(PortState.Disabled, world.GoTo(61).StateOf(HornPort));
        Assert.Equal(PortState.Delivering, world.GoTo(182).StateOf(HornPort));
    }

    [Fact]
    public void A_lost_supply_sheds_low_before_high_before_critical()
    {
        // By class: 60 W for the critical camera, 90 W for the pass-through switch (high), 30 W for the horn (low).
        var design = Builder(AllocationPolicy.ByClass, 200, new Supply("a", Power.FromWatts(100)), new Supply("b", Power.FromWatts(155))).Build();
        var world = new DrivenWorld(
            "at 10s supply quay-west:1 a lost\nat 20s supply quay-west:1 a back\nat 30s supply quay-west:1 b lost", design).GoTo(9);
        Assert.Equal(PortState.Delivering, world.StateOf(HornPort));

        world.GoTo(11);
        Assert.Equal(155, world.World.Look(Switch)!.Groups.Single().Budget.Watts, 9);
        Assert.Equal(PortState.Searching, world.StateOf(HornPort));
        Assert.Equal(1u, world.Port(HornPort).Counters.Denied);
        Assert.Equal(PortState.Delivering, world.StateOf(PassThroughPort));

        world.GoTo(25);
        Assert.Equal(PortState.Delivering, world.StateOf(HornPort));

        world.GoTo(32);
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
        Assert.Equal(PortState.Searching, world.StateOf(PassThroughPort));
        // 60 W of 100 W are taken; the horn's 30 W still fit.
        Assert.Equal(PortState.Delivering, world.StateOf(HornPort));
    }

    [Fact]
    public void A_pole_switch_without_power_is_dark_and_begins_anew()
    {
        var world = new DrivenWorld("at 10s port quay-west:1/3 trouble off\nat 30s port quay-west:1/3 trouble none").GoTo(11);
        Assert.Null(world.World.Look("pass-05")!.PoweredSince);
        Assert.Equal(Power.Zero, world.World.DrawOf("pass-05"));
        world.GoTo(35);
        Assert.Equal(TimeSpan.FromSeconds(30), world.World.Look("pass-05")!.PoweredSince);
        Assert.Equal(PortState.Delivering, world.StateOf(new("pass-05", 1, 1)));
    }

    [Fact]
    public void A_pole_switch_output_over_its_limit_trips_without_taking_the_pole_down()
    {
        var world = new DrivenWorld("at 10s device cam-05 draws 31 W").GoTo(12);
        Assert.Equal(PortState.Searching, world.StateOf(new("pass-05", 1, 1)));
        Assert.Equal(PortState.Delivering, world.StateOf(new("pass-05", 1, 2)));
        Assert.Equal(PortState.Delivering, world.StateOf(PassThroughPort));
        Assert.True(world.Port(PassThroughPort).Draw.Watts < 25);
    }

    [Fact]
    public void A_restarted_agent_keeps_power_and_forgets_its_counters()
    {
        var world = new DrivenWorld("at 5s element horn-03 unplugged\nat 20s agent quay-west restarts").GoTo(19);
        Assert.Equal(1u, world.Port(HornPort).Counters.MpsAbsent);
        world.GoTo(21);
        Assert.Equal(0u, world.Port(HornPort).Counters.MpsAbsent);
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
    }

    [Fact]
    public void A_coarse_meter_shows_whole_steps()
    {
        var world = new DrivenWorld(options: new() { MeterStepMilliwatts = 100 }).GoTo(5);
        var port = world.Port(CameraPort);
        Assert.Equal(0, port.MeteredMilliwatts % 100);
        Assert.InRange(port.MeteredMilliwatts - (port.Draw.Watts * 1000), -50, 50);
        Assert.NotEqual(0, port.MeteredMilliwatts);
    }

    [Fact]
    public void Between_two_looks_of_the_controller_a_port_shows_the_same()
    {
        var world = new DrivenWorld(options: new() { RefreshPeriod = TimeSpan.FromSeconds(10) });
        var first = world.Port(CameraPort).MeteredMilliwatts;
        world.Time.Advance(TimeSpan.FromSeconds(9));
        Assert.Equal(first, world.Port(CameraPort).MeteredMilliwatts);
        world.Time.Advance(TimeSpan.FromSeconds(1));
        Assert.NotEqual(first, world.Port(CameraPort).MeteredMilliwatts);
    }
}
