using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Snmp;
using static PoeWatch.Simulator.Tests.Support.SmallDesign;

namespace PoeWatch.Simulator.Tests.Agents;

/// <summary>LLDP-MIB of IEEE 802.1AB: who stands behind a port by his own name.</summary>
public sealed class NeighbourMibTests
{
    private const string RemoteNames = "1.0.8802.1.1.2.1.4.1.1.9";
    private const string Changed = "1.0.8802.1.1.2.1.2.1.0";

    [Fact]
    public void A_fed_device_with_a_name_is_a_neighbour_and_an_unplugged_one_is_not()
    {
        var world = Named("at 10s element ptz-01 unplugged\nat 20s element ptz-01 plugged in").GoTo(9);
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(["0.1.1 camera-ramp", "0.2.1 horn-three"], Neighbours(manager));
        Assert.Equal(["0.2.1 horn-three"], Neighbours(new Conversation(world.GoTo(15).World, Switch)));
        Assert.Equal(SnmpValue.NoSuchInstance, manager.Get(RemoteNames + ".0.1.1"));
        Assert.Equal(["0.1.1 camera-ramp", "0.2.1 horn-three"], Neighbours(new Conversation(world.GoTo(25).World, Switch)));
    }

    [Fact]
    public void A_swapped_device_tells_another_name_and_moved_ones_theirs()
    {
        var world = Named(
            """
            at 10s device ptz-01 swapped for fixed-camera
            at 20s device ptz-01 as designed
            at 30s devices ptz-01, horn-03 change places
            at 40s port quay-west:1/2 carries 5 W class 2
            """);
        var manager = new Conversation(world.World, Switch);
        world.GoTo(15);
        Assert.Equal(["0.1.1 other-fixed-camera-ptz-01", "0.2.1 horn-three"], Neighbours(manager));
        world.GoTo(25);
        Assert.Equal(["0.1.1 camera-ramp", "0.2.1 horn-three"], Neighbours(manager));
        world.GoTo(35);
        Assert.Equal(["0.1.1 horn-three", "0.2.1 camera-ramp"], Neighbours(manager));
        world.GoTo(45);
        Assert.Equal(["0.1.1 horn-three"], Neighbours(manager));
    }

    [Fact]
    public void The_table_tells_when_it_last_changed_by_the_agents_up_time()
    {
        var world = Named("at 10s device ptz-01 swapped for fixed-camera\nat 30s element horn-03 unplugged").GoTo(9);
        var manager = new Conversation(world.World, Switch);
        var first = manager.Number(Changed);
        Assert.InRange(first, 0, 200);
        world.GoTo(20);
        Assert.Equal(1_000, manager.Number(Changed));
        world.GoTo(50);
        Assert.Equal(3_000, manager.Number(Changed));
    }

    [Fact]
    public void Local_ports_go_by_the_names_of_their_interfaces()
    {
        var manager = new Conversation(Named("").GoTo(5).World, Switch);
        // interfaceName(5) of LldpPortIdSubtype.
        Assert.Equal(SnmpValue.Integer32(5), manager.Get("1.0.8802.1.1.2.1.3.7.1.2.2"));
        Assert.Equal(manager.Get("1.3.6.1.2.1.31.1.1.1.1.2"), manager.Get("1.0.8802.1.1.2.1.3.7.1.3.2"));
        Assert.Equal(SnmpValue.Integer32(4), manager.Get("1.0.8802.1.1.2.1.4.1.1.4.0.1.1"));
        Assert.True(manager.Get("1.0.8802.1.1.2.1.4.1.1.5.0.1.1").TryGetOctets(out var mac));
        Assert.Equal((6, 2), (mac.Length, mac[0] & 3));
    }

    private static DrivenWorld Named(string script) => new(
        script,
        Builder().Device("ptz-01", "ptz", "pole-01", lldpName: "camera-ramp").Device("horn-03", "horn", "pole-03", lldpName: "horn-three").Build());

    private static string[] Neighbours(Conversation manager) =>
        [.. manager.Walk(RemoteNames).Select(row => $"{row.Oid.ToString()[(RemoteNames.Length + 1)..]} {(row.Value.TryGetText(out var name) ? name : "?")}")];
}
