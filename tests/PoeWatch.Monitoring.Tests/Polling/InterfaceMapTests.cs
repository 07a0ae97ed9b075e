using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling;

namespace PoeWatch.Monitoring.Tests.Polling;

/// <summary>RFC 3621 defines no mapping of ports to interfaces: the rules here are common practice, no source.</summary>
public class InterfaceMapTests
{
    [Fact]
    public void Three_part_names_map_by_group_and_port()
    {
        var map = InterfaceMap.Map(Ports((1, 1), (2, 7)), Names((101, "ge1/0/1"), (207, "ge2/0/7"), (301, "xe1/1/25")));

        Assert.Equal(101, map[new PsePortRef("s", 1, 1)]);
        Assert.Equal(207, map[new PsePortRef("s", 2, 7)]);
    }

    [Fact]
    public void A_number_that_two_interfaces_carry_maps_neither()
    {
        var map = InterfaceMap.Map(Ports((1, 1)), Names((11, "ge1/0/1"), (12, "xe1/1/1")));

        Assert.Empty(map);
    }

    [Fact]
    public void Uplinks_and_VLANs_that_repeat_some_numbers_do_not_hide_the_ports()
    {
        var map = InterfaceMap.Map(
            Ports((1, 1), (1, 2), (1, 3)),
            Names((1, "Vlan1"), (10101, "Gi1/0/1"), (10102, "Gi1/0/2"), (10103, "Gi1/0/3"), (10201, "Te1/1/1"), (10202, "Te1/1/2")));

        Assert.Equal([10101, 10102, 10103], map.OrderBy(m => m.Key).Select(m => m.Value));
    }

    [Fact]
    public void Two_series_that_both_have_every_port_map_none()
    {
        Assert.Empty(InterfaceMap.Map(
            Ports((1, 1), (1, 2)), Names((11, "Gi1/0/1"), (12, "Gi1/0/2"), (21, "Te1/1/1"), (22, "Te1/1/2"))));
    }

    [Fact]
    public void Plain_numbered_names_belong_to_group_one()
    {
        var map = InterfaceMap.Map(Ports((1, 8)), Names((1008, "port8")));

        Assert.Equal(1008, map[new PsePortRef("s", 1, 8)]);
    }

    [Fact]
    public void Without_numbers_in_names_a_single_group_falls_back_to_the_interface_index()
    {
        var map = InterfaceMap.Map(Ports((1, 3)), Names((3, "uplink"), (4, "spare")));

        Assert.Equal(3, map[new PsePortRef("s", 1, 3)]);
    }

    [Fact]
    public void Without_numbers_in_names_several_groups_stay_unmapped()
    {
        Assert.Empty(InterfaceMap.Map(Ports((1, 3), (2, 3)), Names((3, "uplink"))));
    }

    [Fact]
    public void A_vlan_interface_is_not_taken_for_a_port()
    {
        Assert.Empty(InterfaceMap.Map(Ports((1, 2)), Names((2, "ge1/0/2.100"), (5, "ge1/0/5"))));
    }

    private static PsePortRef[] Ports(params (int Group, int Port)[] ports) => [.. ports.Select(p => new PsePortRef("s", p.Group, p.Port))];

    private static Dictionary<int, string> Names(params (int Index, string Name)[] names) => names.ToDictionary(n => n.Index, n => n.Name);
}
