using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Agents;
using PoeWatch.Simulator.Tests.Agents;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Snmp;
using static PoeWatch.Simulator.Tests.Support.SmallDesign;

namespace PoeWatch.Simulator.Tests.Faults;

/// <summary>Ports and agents that go wrong: what the world makes of it and what a manager sees.</summary>
public sealed class AgentFaultTests
{
    private const string UpTime = "1.3.6.1.2.1.1.3.0";
    private const string Date = "1.3.6.1.2.1.25.1.2.0";
    private const string MpsAbsent = "1.3.6.1.2.1.105.1.1.1.8.1.2";
    private const string Overloads = "1.3.6.1.2.1.105.1.1.1.13.1.2";
    private const string Shorts = "1.3.6.1.2.1.105.1.1.1.14.1.6";
    private const string CameraWatts = "1.3.111.2.802.3.1.8.1.1.1.15.1.1";
    private const string CameraAccuracy = "1.3.111.2.802.3.1.8.1.1.1.16.1.1";
    private const string GroupWatts = "1.3.6.1.2.1.105.1.3.1.1.4.1";

    [Fact]
    public void A_loose_plug_comes_and_goes_and_counts()
    {
        var world = new DrivenWorld("at 10s port quay-west:1/2 flaps every 20 s\nat 60s port quay-west:1/2 flaps no more");
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(PortState.Delivering, world.GoTo(9).StateOf(HornPort));
        Assert.Equal(PortState.Searching, world.GoTo(15).StateOf(HornPort));
        Assert.Equal(PortState.Delivering, world.GoTo(25).StateOf(HornPort));
        Assert.Equal(PortState.Searching, world.GoTo(35).StateOf(HornPort));
        Assert.Equal(2, manager.Number(MpsAbsent));
        Assert.Equal(PortState.Delivering, world.GoTo(75).StateOf(HornPort));
        Assert.Equal(3, manager.Number(MpsAbsent));
    }

    [Fact]
    public void Counters_rise_by_script_while_the_port_feeds()
    {
        var world = new DrivenWorld(
            """
            at 10s port quay-west:1/2 counts 3600 overload an hour
            at 15s port quay-west:1/2 counts 1800 mps-absent an hour
            at 30s port quay-west:1/2 counts no more
            """);
        var manager = new Conversation(world.World, Switch);
        world.GoTo(29);
        Assert.Equal((19, 7), (manager.Number(Overloads), manager.Number(MpsAbsent)));
        world.GoTo(60);
        Assert.Equal((19, 7), (manager.Number(Overloads), manager.Number(MpsAbsent)));
        Assert.Equal(PortState.Delivering, world.StateOf(HornPort));
    }

    [Theory]
    [InlineData("overload", 13)]
    [InlineData("short", 14)]
    [InlineData("denied", 12)]
    [InlineData("mps-absent", 8)]
    [InlineData("signature", 11)]
    public void Each_counter_has_its_column_of_RFC_3621(string kind, int column)
    {
        var world = new DrivenWorld($"at 1s port quay-west:1/2 counts 3600 {kind} an hour").GoTo(6);
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(
            column, Assert.Single([8, 11, 12, 13, 14], c => manager.Number($"1.3.6.1.2.1.105.1.1.1.{c}.1.2") == 5));
    }

    /// <summary>A Counter32 starts again from zero behind 4294967295 (RFC 2578 section 7.1.6).</summary>
    [Fact]
    public void Counters_go_round()
    {
        var world = new DrivenWorld("at 10s agent quay-west counters at 4294967294\nat 11s port quay-west:1/6 trouble short").GoTo(10);
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(SnmpValue.Counter32(4294967294), manager.Get(Shorts));
        world.GoTo(16);
        Assert.Equal(SnmpValue.Counter32(1), manager.Get(Shorts));
        Assert.Equal(SnmpValue.Counter32(4294967294), manager.Get(Overloads));
    }

    [Fact]
    public void A_port_that_ignores_its_plan_feeds_on()
    {
        var design = Builder().Schedule("siesta", new DailyWindow(new(12, 1), new(12, 3)), "quay-west:1/2").Build();
        var world = new DrivenWorld("at 0s port quay-west:1/2 ignores its plan\nat 90s port quay-west:1/2 keeps its plan", design);
        Assert.Equal(PortState.Delivering, world.GoTo(80).StateOf(HornPort));
        Assert.Equal(SnmpValue.Integer32(3), new Conversation(world.World, Switch).Get("1.3.6.1.2.1.105.1.1.1.6.1.2"));
        Assert.Equal(PortState.Disabled, world.GoTo(91).StateOf(HornPort));
    }

    [Fact]
    public void A_stepped_clock_moves_date_and_up_time_until_the_agent_restarts()
    {
        var world = new DrivenWorld("at 100s agent quay-west clock steps 90 s\nat 200s agent quay-west restarts\nat 300s agent quay-west clock steps -1h");
        var manager = new Conversation(world.World, Switch);
        world.JumpTo(TimeSpan.FromSeconds(99));
        Assert.Equal(SnmpValue.TimeTicks(9_900), manager.Get(UpTime));
        Assert.Equal(DateOf(12, 1, 39), Octets(manager));

        world.JumpTo(TimeSpan.FromSeconds(101));
        Assert.Equal(SnmpValue.TimeTicks(19_100), manager.Get(UpTime));
        Assert.Equal(DateOf(12, 3, 11), Octets(manager));

        world.JumpTo(TimeSpan.FromSeconds(210));
        Assert.Equal(SnmpValue.TimeTicks(1_000), manager.Get(UpTime));
        Assert.Equal(DateOf(12, 5, 0), Octets(manager));

        // Back beyond its start: the up time cannot be less than nothing.
        world.JumpTo(TimeSpan.FromSeconds(310));
        Assert.Equal(SnmpValue.TimeTicks(0), manager.Get(UpTime));
        Assert.Equal(DateOf(11, 6, 40), Octets(manager));
    }

    [Fact]
    public void A_meter_that_errs_shows_more_than_flows_and_so_does_its_group()
    {
        var world = new DrivenWorld("at 0s device ptz-01 draws 30 W\nat 10s agent quay-west meter errs 10 %\nat 20s agent quay-west meter is right").GoTo(15);
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(world.Port(CameraPort).Draw.Watts * 1100, manager.Number(CameraWatts), 0.51);
        Assert.Equal(world.World.DrawOf(Switch)!.Value.Watts * 1.1, manager.Number(GroupWatts), 0.51);
        Assert.Equal(world.GoTo(25).Port(CameraPort).Draw.Watts * 1000, manager.Number(CameraWatts), 0.51);
    }

    [Fact]
    public void A_coarse_meter_shows_whole_steps_of_its_own()
    {
        var world = new DrivenWorld("at 10s agent quay-west meter shows steps of 500 mW\nat 20s agent quay-west meter shows steps as built").GoTo(15);
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(0, manager.Number(CameraWatts) % 500);
        // pethPsePortPowerAccuracy of IEEE 802.3.1, the column next to it: half a step either way.
        Assert.Equal(250, manager.Number(CameraAccuracy));
        Assert.Equal(world.Port(CameraPort).Draw.Watts * 1000, manager.Number(CameraWatts), 250.5);
        Assert.Equal(world.GoTo(25).Port(CameraPort).Draw.Watts * 1000, manager.Number(CameraWatts), 0.51);
    }

    [Fact]
    public void Repeated_watts_stand_still_for_their_time_whoever_looks()
    {
        const string Script = "at 10s agent quay-west repeats its watts for 60 s\nat 200s agent quay-west tells its watts afresh";
        var world = new DrivenWorld(Script);
        var manager = new Conversation(world.World, Switch);
        var seen = Enumerable.Range(10, 130).Select(second => { world.GoTo(second); return manager.Number(CameraWatts); }).ToArray();
        Assert.Single(seen[..60].Distinct());
        Assert.Single(seen[60..120].Distinct());
        Assert.NotEqual(seen[0], seen[60]);

        var seldom = new DrivenWorld(Script).JumpTo(TimeSpan.FromSeconds(139));
        Assert.Equal(seen[^1], new Conversation(seldom.World, Switch).Number(CameraWatts));
        Assert.Equal(world.GoTo(210).Port(CameraPort).Draw.Watts * 1000, manager.Number(CameraWatts), 0.51);
    }

    [Fact]
    public void Lost_answers_follow_the_share_and_the_seed()
    {
        var world = new DrivenWorld("at 10s agent quay-west loses 20 % of its answers\nat 20s agent quay-west loses none");
        bool[] Lost()
        {
            var face = AgentFace.OfPse(world.World, Switch);
            return [.. Enumerable.Range(0, 2000).Select(_ => face.LosesAnswer())];
        }

        Assert.DoesNotContain(true, Lost());
        world.GoTo(15);
        var lost = Lost();
        // Five standard deviations of a binomial of 2000 at 0.2 are 89.
        Assert.InRange(lost.Count(isLost => isLost), 311, 489);
        Assert.Equal(lost, Lost());
        world.GoTo(25);
        Assert.DoesNotContain(true, Lost());
    }

    [Fact]
    public void A_hot_cabinet_shows_on_its_thermometer()
    {
        var world = new DrivenWorld("at 10s cabinet of quay-west at 61.5 C\nat 20s cabinet of quay-west by season", Whole()).GoTo(15);
        var manager = new Conversation(world.World, Switch);
        // celsius with one decimal: RFC 3433.
        Assert.Equal(SnmpValue.Integer32(615), manager.Get("1.3.6.1.2.1.99.1.1.1.4.1001"));
        Assert.InRange(new Conversation(world.GoTo(25).World, Switch).Number("1.3.6.1.2.1.99.1.1.1.4.1001"), 200, 450);
    }

    // DateAndTime of SNMPv2-TC (RFC 2579): year in two octets, tenths of a second, then the direction from UTC.
    private static byte[] DateOf(int hour, int minute, int second) => [0x07, 0xEA, 7, 1, (byte)hour, (byte)minute, (byte)second, 0, (byte)'+', 0, 0];

    private static byte[] Octets(Conversation manager) => manager.Get(Date).TryGetOctets(out var octets) ? octets.ToArray() : [];
}
