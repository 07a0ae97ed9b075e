using System.Text.Json;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.MakerAgents;

/// <summary>What the agents of many makers say is what the API says, with how it is known, and nobody told the service which column to read.</summary>
public sealed class MakerTests(MakerSwitches switches) : IClassFixture<MakerSwitches>
{
    [Theory]
    [InlineData("pointer-stack", 1, 1, 12.7, null, "measured", "Gi1/0/1")]
    [InlineData("pointer-stack", 1, 5, 6.4, null, "measured", "Gi1/0/5")]
    [InlineData("pointer-stack", 3, 2, null, 30.0, "allocated", "Gi3/0/2")]
    [InlineData("pointer-stack", 3, 7, 0.0, null, "off", "Gi3/0/7")]
    [InlineData("old-model", 1, 1, null, 11.0, "allocated", null)]
    [InlineData("old-model", 1, 2, null, 5.0, "allocated", null)]
    [InlineData("old-model", 1, 3, 0.0, null, "off", null)]
    [InlineData("dv", 1, 1, 9.3, null, "measured", "port1")]
    [InlineData("dv", 1, 6, 25.3, null, "measured", "port6")]
    [InlineData("slot-4", 4, 1, 12.4, null, "measured", "GigabitEthernet4/0/1")]
    [InlineData("slot-4", 4, 3, 3.2, null, "measured", "GigabitEthernet4/0/3")]
    [InlineData("by-ifindex", 1, 1, 61.0, null, "measured", "GigabitEthernet1/0/1")]
    [InlineData("by-ifindex", 1, 2, 8.8, null, "measured", "GigabitEthernet1/0/2")]
    [InlineData("two-slots", 1, 1, 10.1, null, "measured", "1/1")]
    [InlineData("two-slots", 2, 1, 4.9, null, "measured", "2/1")]
    [InlineData("bay", 1, 6, 25.3, null, "measured", "port6")]
    [InlineData("rows-without-poe", 1, 1, 11.9, null, "measured", "ethernet1/1/1")]
    [InlineData("rows-without-poe", 1, 2, 0.0, null, "off", "ethernet1/1/2")]
    [InlineData("milliwatt-total", 1, 1, 9.3, null, "measured", "port1")]
    [InlineData("rl", 1, 6, 25.3, null, "measured", "port6")]
    [InlineData("port-number", 1, 3, 7.7, null, "measured", "port3")]
    [InlineData("port-number", 1, 4, 12.3, null, "measured", "port4")]
    [InlineData("text-watts", 1, 1, 2.3, null, "measured", "port1")]
    [InlineData("text-watts", 1, 2, 24.6, null, "measured", "port2")]
    [InlineData("text-watts", 1, 3, 0.0, null, "off", "port3")]
    [InlineData("base-port", 1, 1, 5.2, null, "measured", "swp01")]
    [InlineData("base-port", 1, 2, 13.0, null, "measured", "swp02")]
    [InlineData("deciwatts", 1, 1, 12.7, null, "measured", "Gi1/1")]
    [InlineData("deciwatts", 1, 2, 6.4, null, "measured", "Gi1/2")]
    [InlineData("whole-watts", 1, 1, 6.0, null, "measured", "g0/1")]
    [InlineData("whole-watts", 1, 2, 21.0, null, "measured", "g0/2")]
    [InlineData("text-zxr", 2, 1, 12.4, null, "measured", "gei-2/1")]
    [InlineData("text-zxr", 2, 2, 3.75, null, "measured", "gei-2/2")]
    [InlineData("midspan", 1, 1, 14.1, null, "measured", null)]
    [InlineData("volts-amperes", 1, 1, 10.6, null, "derived", "1")]
    [InlineData("energy-object", 1, 1, 10.2, null, "measured", "port1")]
    [InlineData("energy-object", 1, 2, 6.6, null, "estimated", "port2")]
    [InlineData("entity-watts", 1, 1, 8.1, null, "measured", "port1")]
    [InlineData("granted-over-lldp", 1, 1, null, 30.0, "lldp", "port1")]
    [InlineData("slots-4-and-7", 4, 1, 11.1, null, "measured", null)]
    [InlineData("slots-4-and-7", 7, 1, 7.9, null, "measured", null)]
    [InlineData("ieee-actual", 1, 1, 61.345, null, "measured", "port1")]
    [InlineData("ieee-actual", 1, 2, 12.4, null, "measured", "port2")]
    [InlineData("energy-in-watts", 1, 6, 9.0, null, "measured", "port6")]
    // At the PSE over the longest channel, IEEE 802.3 class table: 51 W at the PD are 60 W, 25.5 W are 30 W.
    [InlineData("asked-over-lldp", 1, 1, null, 60.0, "lldp", "port1")]
    [InlineData("asked-over-lldp", 1, 2, null, 30.0, "lldp", "port2")]
    [InlineData("granted-below-4623", 1, 1, null, 30.0, "lldp", "port1")]
    [InlineData("asked-over-med", 1, 1, null, 30.0, "lldp", "port1")]
    public async Task A_port_is_known_the_best_way_that_its_agent_offers(
        string id, int group, int port, double? draw, double? ceiling, string provenance, string? name)
    {
        await AnsweredAsync(id);

        JsonElement seen = await switches.Service.Rest.GetAsync(FormattableString.Invariant($"/api/v1/ports/{id}/{group}/{port}"));

        JsonElement watts = seen.GetProperty("draw");
        Assert.Equal(provenance, watts.GetProperty("provenance").GetString());
        Assert.Equal(draw, Number(watts.GetProperty("drawAtPseW")));
        Assert.Equal(ceiling, Number(watts.GetProperty("ceilingAtPseW")));
        Assert.Equal(name, seen.GetProperty("interfaceName").GetString());
    }

    // Joules a second are watts. The agent counts by a clock of its own between two values of one answer, and answers late while all begin to be polled: hence the twentieth, and the wait.
    [Theory]
    [InlineData(1, 15.4)]
    [InlineData(2, 6.5)]
    public async Task Energy_that_is_counted_becomes_mean_watts_over_time(int port, double watts)
    {
        await AnsweredAsync("ieee-energy");

        JsonElement seen = await switches.Service.SeePortAsync(
            "mean watts",
            "ieee-energy",
            1,
            port,
            p => p.GetProperty("draw") is var draw
                && draw.GetProperty("provenance").GetString() == "derived"
                && Math.Abs(draw.GetProperty("drawAtPseW").GetDouble() - watts) <= watts * 0.05);

        Assert.Contains("cumulative energy", seen.GetProperty("drawOrigin").GetProperty("source").GetString(), StringComparison.Ordinal);
    }

    // The accuracy that the agent states, where it is coarser than a step; 0 is no statement.
    [Theory]
    [InlineData("ieee-actual", 1, 0.15)]
    [InlineData("ieee-actual", 2, 0.001)]
    [InlineData("energy-in-watts", 6, 1.0)]
    public async Task A_value_carries_how_fine_it_is(string id, int port, double watts)
    {
        await AnsweredAsync(id);

        JsonElement origin = (await switches.Service.Rest.GetAsync(FormattableString.Invariant($"/api/v1/ports/{id}/1/{port}"))).GetProperty("drawOrigin");
        Assert.Equal(watts, origin.GetProperty("resolutionW").GetDouble(), 1e-9);
    }

    // pethMainPseConsumptionPower (RFC 3621): measured, or the sum of allocations. In milliwatts it is withheld, and what the ports add up to stands there.
    [Theory]
    [InlineData("dv", 1, 35.0, null, "measured")]
    [InlineData("old-model", 1, null, 16.0, "allocated")]
    [InlineData("pointer-stack", 3, null, 45.4, "allocated")]
    [InlineData("milliwatt-total", 1, 34.6, null, "measured")]
    public async Task A_groups_own_figure_is_called_what_it_is(string id, int group, double? draw, double? ceiling, string provenance)
    {
        JsonElement detail = await AnsweredAsync(id);

        JsonElement watts = detail.GetProperty("switch").GetProperty("groups").EnumerateArray()
            .Single(g => g.GetProperty("groupNumber").GetInt32() == group).GetProperty("draw");
        Assert.Equal((draw, ceiling, provenance), (Number(watts.GetProperty("drawAtPseW")), Number(watts.GetProperty("ceilingAtPseW")), watts.GetProperty("provenance").GetString()!));
    }

    [Fact]
    public async Task What_stands_behind_a_port_is_shown_and_a_VLAN_that_is_not_the_designs_is_a_finding()
    {
        JsonElement detail = await AnsweredAsync("neighbour");

        JsonElement seen = (await switches.Service.Rest.GetAsync("/api/v1/ports/neighbour/1/1")).GetProperty("interface");
        Assert.Equal(("port1", "mast north", 1000, 1), (
            seen.GetProperty("name").GetString(), seen.GetProperty("alias").GetString(), seen.GetProperty("speedMbps").GetInt32(), seen.GetProperty("vlanNumber").GetInt32()));
        JsonElement neighbour = Assert.Single(seen.GetProperty("neighbours").EnumerateArray());
        Assert.Equal(("camera-7", "mast-unit", "eth0"), (
            neighbour.GetProperty("systemName").GetString(), neighbour.GetProperty("chassis").GetString(), neighbour.GetProperty("port").GetString()));

        JsonElement finding = Assert.Single(detail.GetProperty("switch").GetProperty("agent").GetProperty("findings").EnumerateArray());
        Assert.Equal(("wrong-vlan", "neighbour:1/1"), (finding.GetProperty("kind").GetString(), finding.GetProperty("portRef").GetString()));
        Assert.Contains("is in VLAN 1; the design has VLAN 30", finding.GetProperty("text").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_conflict_of_units_is_a_finding_of_the_agent()
    {
        JsonElement detail = await AnsweredAsync("milliwatt-total");

        JsonElement finding = Assert.Single(detail.GetProperty("switch").GetProperty("agent").GetProperty("findings").EnumerateArray());
        Assert.Equal(("unit-conflict", 1), (finding.GetProperty("kind").GetString(), finding.GetProperty("groupNumber").GetInt32()));
    }

    [Theory]
    [InlineData("pointer-stack", "draw sheet   cisco-power-ethernet-ext", @"read +sheet cisco-power-ethernet-ext: measured column", @"Gi1/0/1 \(ifIndex 10101: the agent points from the port")]
    [InlineData("by-ifindex", "draw sheet   huawei-poe", @"units, group 1, sheet huawei-poe: units agree: the ports add up to 69.8 W, the group says 70 W", "in the one series whose interfaces feed")]
    [InlineData("milliwatt-total", "draw sheet   edgeswitch-power-ethernet", "conflict: the ports add up to 34.6 W, the group says 34600 W, 1000 times as much", "! Units of group 1 conflict")]
    [InlineData("old-model", "draw sheet   cisco-power-ethernet-ext", "on this model it is an allocation", "at most 11 W +allocated")]
    [InlineData("energy-object", "draw sheet   none fits", "read +RFC 7460 energy objects", @"FILL-IN")]
    public async Task Inspect_says_what_it_would_choose_and_why(string id, string sheet, string source, string evidence)
    {
        var (code, output) = await Service.RunAsync(
            "inspect", FormattableString.Invariant($"127.0.0.1:{switches.Agent.PortOf(id)}"), "--credentials", id, "--settings", switches.Settings);

        Assert.True(code == 0, output);
        Assert.Contains(sheet, output, StringComparison.Ordinal);
        Assert.Matches(source, output);
        Assert.Matches(evidence, output);
    }

    private static double? Number(JsonElement value) => value.ValueKind == JsonValueKind.Null ? null : value.GetDouble();

    private Task<JsonElement> AnsweredAsync(string id) => switches.Service.SeeAsync(
        $"an answer of '{id}'", $"/api/v1/switches/{id}", s => s.GetProperty("switch").GetProperty("agent").GetProperty("outcome").GetString() == "answered");
}
