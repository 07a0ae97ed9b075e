using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.Interfaces;

namespace PoeWatch.Monitoring.Tests.Polling.Interfaces;

/// <summary>RFC 3621 defines no mapping of ports to interfaces: the rules here are common practice, no source.</summary>
public class InterfaceMapTests
{
    [Fact]
    public void Three_part_names_map_by_group_and_port()
    {
        var map = Map(Ports((1, 1), (2, 7)), Names((101, "ge1/0/1"), (207, "ge2/0/7"), (301, "xe1/1/25")));

        Assert.Equal(101, map[new PsePortRef("s", 1, 1)]);
        Assert.Equal(207, map[new PsePortRef("s", 2, 7)]);
    }

    [Fact]
    public void A_number_that_two_interfaces_carry_maps_neither()
    {
        var map = Map(Ports((1, 1)), Names((11, "ge1/0/1"), (12, "xe1/1/1")));

        Assert.Empty(map);
    }

    [Fact]
    public void Uplinks_and_VLANs_that_repeat_some_numbers_do_not_hide_the_ports()
    {
        var map = Map(
            Ports((1, 1), (1, 2), (1, 3)),
            Names((1, "Vlan1"), (10101, "Gi1/0/1"), (10102, "Gi1/0/2"), (10103, "Gi1/0/3"), (10201, "Te1/1/1"), (10202, "Te1/1/2")));

        Assert.Equal([10101, 10102, 10103], map.OrderBy(m => m.Key).Select(m => m.Value));
    }

    [Fact]
    public void Two_series_that_both_have_every_port_map_none()
    {
        Assert.Empty(Map(
            Ports((1, 1), (1, 2)), Names((11, "Gi1/0/1"), (12, "Gi1/0/2"), (21, "Te1/1/1"), (22, "Te1/1/2"))));
    }

    [Fact]
    public void Plain_numbered_names_belong_to_group_one()
    {
        var map = Map(Ports((1, 8)), Names((1008, "port8")));

        Assert.Equal(1008, map[new PsePortRef("s", 1, 8)]);
    }

    [Fact]
    public void Without_numbers_in_names_a_single_group_falls_back_to_the_interface_index()
    {
        var map = Map(Ports((1, 3)), Names((3, "uplink"), (4, "spare")));

        Assert.Equal(3, map[new PsePortRef("s", 1, 3)]);
    }

    [Fact]
    public void Without_numbers_in_names_several_groups_stay_unmapped()
    {
        Assert.Empty(Map(Ports((1, 3), (2, 3)), Names((3, "uplink"))));
    }

    [Fact]
    public void A_vlan_interface_is_not_taken_for_a_port()
    {
        Assert.Empty(Map(Ports((1, 2)), Names((2, "ge1/0/2.100"), (5, "ge1/0/5"))));
    }

    // A switch whose uplinks carry the numbers of all its PSE ports: four ports, and four uplinks in a slot of their own.
    [Fact]
    public void Twins_are_told_apart_by_what_feeds()
    {
        var map = Map(Four, Twins() with { Feeding = Set(11, 12, 13, 14) });

        Assert.Equal([11, 12, 13, 14], map.OrderBy(m => m.Key).Select(m => m.Value));
    }

    [Fact]
    public void Twins_are_told_apart_by_the_bridge_only_where_it_numbers_all_ports_the_same()
    {
        Dictionary<int, int> bridge = new() { [1] = 21, [2] = 22, [3] = 23, [4] = 24, [5] = 11 };

        Assert.Equal([21, 22, 23, 24], Map(Four, Twins() with { BasePorts = bridge }).OrderBy(m => m.Key).Select(m => m.Value));
        Assert.Empty(Map(Four, Twins() with { BasePorts = new Dictionary<int, int> { [1] = 21, [2] = 12 } }));
    }

    [Fact]
    public void Twins_are_told_apart_by_being_up_wherever_a_port_delivers()
    {
        // Ports 1 to 3 deliver; Gi is up there, Te at port 1 only.
        InterfaceEvidence seen = Twins(up: [11, 12, 13, 21]) with { Delivering = Four[..3].ToFrozenSet() };

        Assert.Equal([11, 12, 13, 14], Map(Four, seen).OrderBy(m => m.Key).Select(m => m.Value));
        Assert.Empty(Map(Four, seen with { Delivering = Four[..2].ToFrozenSet() }));
        Assert.Empty(Map(Four, Twins(up: [11, 12, 13, 21, 22]) with { Delivering = Four[..3].ToFrozenSet() }));
    }

    [Fact]
    public void What_the_agent_points_to_stands_above_every_name()
    {
        var port = new PsePortRef("s", 1, 1);
        InterfaceEvidence evidence = Twins() with { Pointers = new Dictionary<PsePortRef, int> { [port] = 24 }, Feeding = Set(11, 12, 13, 14) };

        MappedInterface found = InterfaceMap.Map(Four, evidence)[port];

        Assert.Equal((24, "the agent points from the port to the interface"), (found.IfIndex, found.Evidence));
    }

    [Fact]
    public void Two_ports_on_one_interface_are_both_unmapped()
    {
        InterfaceEvidence evidence = InterfaceEvidence.None with
        {
            Interfaces = [Named(9, "uplink")],
            Pointers = new Dictionary<PsePortRef, int> { [new PsePortRef("s", 1, 1)] = 9, [new PsePortRef("s", 1, 2)] = 9, [new PsePortRef("s", 1, 3)] = 8 },
        };

        Assert.Equal([3], Map(Ports((1, 1), (1, 2), (1, 3)), evidence).Select(m => m.Key.Port));
    }

    [Fact]
    public void Names_that_count_from_zero_are_moved_by_one_in_group_and_port()
    {
        var map = Map(Ports((1, 1), (1, 2), (2, 3)), Names((500, "ge-0/0/0"), (501, "ge-0/0/1"), (600, "ge-1/0/0"), (602, "ge-1/0/2")));

        Assert.Equal([500, 501, 602], map.OrderBy(m => m.Key).Select(m => m.Value));
    }

    [Fact]
    public void What_has_no_plug_or_is_no_Ethernet_is_not_a_port()
    {
        InterfaceEvidence evidence = InterfaceEvidence.None with { Interfaces = [Named(11, "Gi1/0/1"), Named(12, "Tr1/0/1") with { CouldBePort = false }] };

        Assert.Equal(11, Map(Ports((1, 1)), evidence).Single().Value);
    }

    [Fact]
    public void Without_numbers_in_names_the_bridge_comes_before_the_interface_index()
    {
        InterfaceEvidence evidence = InterfaceEvidence.None with
        {
            Interfaces = [Named(1, "quay"), Named(101, "mast")],
            BasePorts = new Dictionary<int, int> { [1] = 101 },
        };

        Assert.Equal(101, Map(Ports((1, 1)), evidence).Single().Value);
    }

    [Fact]
    public void A_group_other_than_1_is_mapped_by_its_own_number()
    {
        Assert.Equal(407, Map(Ports((4, 7)), Names((107, "Gi1/0/7"), (407, "Gi4/0/7"))).Single().Value);
    }

    private static PsePortRef[] Four => Ports((1, 1), (1, 2), (1, 3), (1, 4));

    private static InterfaceEvidence Twins(params int[] up) => InterfaceEvidence.None with
    {
        Interfaces =
        [
            .. from series in new[] { ("Gi1/0/", 10), ("Te1/1/", 20) }
               from number in Enumerable.Range(1, 4)
               let index = series.Item2 + number
               select Named(index, $"{series.Item1}{number}") with { IsUp = up.Contains(index) },
        ],
    };

    private static InterfaceFacts Named(int index, string name) => new(index, name, string.Empty, CouldBePort: true, IsUp: null, SpeedMbps: null);

    private static HashSet<int> Set(params int[] numbers) => [.. numbers];

    private static ImmutableDictionary<PsePortRef, int> Map(PsePortRef[] ports, Dictionary<int, string> names) =>
        Map(ports, InterfaceEvidence.None with { Interfaces = [.. names.Select(n => Named(n.Key, n.Value))] });

    private static ImmutableDictionary<PsePortRef, int> Map(PsePortRef[] ports, InterfaceEvidence evidence) =>
        InterfaceMap.Map(ports, evidence).ToImmutableDictionary(m => m.Key, m => m.Value.IfIndex);

    private static PsePortRef[] Ports(params (int Group, int Port)[] ports) => [.. ports.Select(p => new PsePortRef("s", p.Group, p.Port))];

    private static Dictionary<int, string> Names(params (int Index, string Name)[] names) => names.ToDictionary(n => n.Index, n => n.Name);
}
