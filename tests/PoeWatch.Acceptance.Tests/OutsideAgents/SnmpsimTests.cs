using System.Text.Json;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.OutsideAgents;

/// <summary>What snmpsim serves is what the API says, number by number, with how it is known.</summary>
public sealed class SnmpsimTests(SnmpsimSwitches switches) : IClassFixture<SnmpsimSwitches>
{
    [Theory]
    [InlineData(1, 1, "delivering", 12.7, "measured", "Gi1/0/1")]
    [InlineData(1, 2, "searching", 0.0, "off", "Gi1/0/2")]
    [InlineData(1, 5, "delivering", 6.4, "measured", "Gi1/0/5")]
    [InlineData(3, 2, "delivering", 25.5, "measured", "Gi3/0/2")]
    [InlineData(3, 7, "fault", 0.0, "off", "Gi3/0/7")]
    public async Task A_stack_with_gaps_reads_deciwatts_by_interface(int group, int port, string state, double draw, string provenance, string name)
    {
        var seen = await PortAsync("stack", group, port);

        Assert.Equal(state, seen.GetProperty("state").GetString());
        Assert.Equal(name, seen.GetProperty("interfaceName").GetString());
        AssertDraw(seen, draw, null, provenance);
    }

    [Fact]
    public async Task A_stack_shows_exactly_the_ports_that_it_has_and_both_budgets()
    {
        await PortAsync("stack", 1, 1);
        var stack = await switches.Service.Rest.GetAsync("/api/v1/switches/stack");

        Assert.Equal(
            ["stack:1/1", "stack:1/2", "stack:1/5", "stack:3/2", "stack:3/7", "stack:3/11"],
            stack.GetProperty("ports").EnumerateArray().Select(p => p.GetProperty("portRef").GetString()!));
        Assert.Equal(
            [(1, 19.0, "measured"), (3, 26.0, "measured")],
            stack.GetProperty("switch").GetProperty("groups").EnumerateArray().Select(g => (
                g.GetProperty("groupNumber").GetInt32(),
                g.GetProperty("draw").GetProperty("drawAtPseW").GetDouble(),
                g.GetProperty("draw").GetProperty("provenance").GetString()!)));
    }

    [Fact]
    public async Task A_port_that_the_draw_column_leaves_out_is_known_by_its_class_alone()
    {
        // class2(3): 7.0 W at the PSE (IEEE Std 802.3, table of class power at the PSE output).
        AssertDraw(await PortAsync("stack", 3, 11), null, 7.0, "class-bound");
    }

    // Bounds at the PSE by class: IEEE Std 802.3, classes 0 to 4. Port 5 says class4(5) on a port whose type nobody knows: RFC 3621 ends
    // there, so classes 5 to 8 may hide behind it and 30 W would be no bound. Port 6 is type 2 by design: there it is one.
    [Theory]
    [InlineData(1, "delivering", null, 15.4, "class-bound", 0)]
    [InlineData(2, "delivering", null, 4.0, "class-bound", 1)]
    [InlineData(3, "delivering", null, 7.0, "class-bound", 2)]
    [InlineData(4, "delivering", null, 15.4, "class-bound", 3)]
    [InlineData(5, "delivering", null, null, "unknown", 4)]
    [InlineData(6, "delivering", null, 30.0, "class-bound", 4)]
    [InlineData(11, "disabled", 0.0, null, "off", null)]
    [InlineData(12, "searching", 0.0, null, "off", null)]
    [InlineData(14, "fault", 0.0, null, "off", null)]
    [InlineData(15, "test", 0.0, null, "off", null)]
    [InlineData(16, "other-fault", 0.0, null, "off", null)]
    public async Task Without_a_draw_column_a_class_is_a_bound_and_never_a_draw(
        int port, string state, double? draw, double? ceiling, string provenance, int? assigned)
    {
        var seen = await PortAsync("plain", 1, port);

        Assert.Equal(state, seen.GetProperty("state").GetString());
        Assert.Equal(assigned, seen.GetProperty("assignedClassNumber") is { ValueKind: JsonValueKind.Number } number ? number.GetInt32() : null);
        AssertDraw(seen, draw, ceiling, provenance);
    }

    [Fact]
    public async Task Watts_as_text_follow_a_recording_that_changes_under_the_running_agent()
    {
        AssertDraw(await PortAsync("texts", 1, 3), 12.4, null, "measured");
        AssertDraw(await PortAsync("texts", 1, 4), 0, null, "measured");
        AssertDraw(await PortAsync("texts", 1, 9), null, 4.0, "class-bound");

        switches.Agent.Change("texts", SnmpsimSwitches.Texts("13.75"));

        await switches.Service.SeePortAsync("13.75 W at texts:1/3", "texts", 1, 3, p => Draw(p).GetProperty("drawAtPseW").GetDouble() == 13.75);
    }

    [Theory]
    [InlineData(1, "delivering", 25.437, "measured")]
    [InlineData(2, "delivering", 3.001, "measured")]
    [InlineData(8, "searching", 0.0, "off")]
    public async Task Milliwatts_by_group_and_port_arrive_to_the_milliwatt(int port, string state, double draw, string provenance)
    {
        var seen = await PortAsync("milliwatts", 1, port);

        Assert.Equal(state, seen.GetProperty("state").GetString());
        AssertDraw(seen, draw, null, provenance);
    }

    [Fact]
    public async Task A_wrong_community_meets_silence_and_the_message_names_that_cause()
    {
        var seen = await switches.Service.SeeAsync(
            "switch 'locked' silent", "/api/v1/switches/locked", s => Agent(s).GetProperty("outcome").GetString() == "silent");

        Assert.Contains("community in 'mistyped'", Agent(seen).GetProperty("detail").GetString(), StringComparison.Ordinal);
        Assert.Contains(Rest.Read((await switches.Service.Rest.GetAsync("/api/v1/site")).GetProperty("silentPseIds").GetRawText()).EnumerateArray(), id => id.GetString() == "locked");
        Assert.Empty(seen.GetProperty("ports").EnumerateArray());
        Assert.DoesNotContain("lokced", switches.Service.Output + seen.GetRawText(), StringComparison.Ordinal);
    }

    private static JsonElement Draw(JsonElement port) => port.GetProperty("draw");

    private static JsonElement Agent(JsonElement detail) => detail.GetProperty("switch").GetProperty("agent");

    private static void AssertDraw(JsonElement port, double? draw, double? ceiling, string provenance)
    {
        Assert.Equal(provenance, Draw(port).GetProperty("provenance").GetString());
        Assert.Equal(draw, Number(Draw(port).GetProperty("drawAtPseW")));
        Assert.Equal(ceiling, Number(Draw(port).GetProperty("ceilingAtPseW")));
    }

    private static double? Number(JsonElement value) => value.ValueKind == JsonValueKind.Null ? null : value.GetDouble();

    private async Task<JsonElement> PortAsync(string pse, int group, int port)
    {
        await switches.Service.SeeAsync(
            $"an answer of '{pse}'", $"/api/v1/switches/{pse}", s => Agent(s).GetProperty("outcome").GetString() == "answered");
        return await switches.Service.Rest.GetAsync(FormattableString.Invariant($"/api/v1/ports/{pse}/{group}/{port}"));
    }
}
