using System.Text.Json;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.OutsideAgents;

/// <summary>
/// UPS units as RFC 1628 describes them, answered by snmpsim and by Net-SNMP's agent: object, type, unit and words are those of the RFC's text
/// (upsBattery 1.3.6.1.2.1.33.1.2, upsOutput 1.3.6.1.2.1.33.1.4). The figures are made up.
/// </summary>
public sealed class UpsTests
{
    private const string Battery = "1.3.6.1.2.1.33.1.2";
    private const string Output = "1.3.6.1.2.1.33.1.4";

    [Fact]
    public async Task A_power_cut_is_seen_told_alarmed_and_over_again()
    {
        using var folder = new WorkFolder();
        await using var agent = await SnmpsimAgent.StartAsync(new Dictionary<string, Recording> { ["quay"] = SnmpdDoors.Values, ["battery"] = OnMains });
        await using var service = await ServeAsync(folder, agent.PortOf("quay"), agent.PortOf("battery"), "quay", "battery");

        JsonElement mains = await SeeAsync(service, "on mains", t => t.GetProperty("source").GetString() == "normal");
        Assert.Equal((false, 11_400.0, 100), (mains.GetProperty("isOnBattery").GetBoolean(), mains.GetProperty("remainingSeconds").GetDouble(), mains.GetProperty("chargePercent").GetInt32()));
        // Three lines: the load of the one that carries most, the watts of all.
        Assert.Equal((31, 190.0), (mains.GetProperty("loadPercent").GetInt32(), mains.GetProperty("outputW").GetDouble()));

        agent.Change("battery", OnBattery);

        JsonElement cut = await SeeAsync(service, "on battery", t => t.GetProperty("source").GetString() == "battery");
        Assert.Equal(("low", 2_220.0), (cut.GetProperty("battery").GetString(), cut.GetProperty("remainingSeconds").GetDouble()));
        Assert.InRange((cut.GetProperty("readAt").GetDateTimeOffset() - cut.GetProperty("onBatterySince").GetDateTimeOffset()).TotalSeconds, 360, 361);
        JsonElement alarms = await service.SeeAsync(
            "the alarm", "/api/v1/alarms?resource=ups/cabinet", page => page.GetProperty("items").EnumerateArray().Any(a => !a.GetProperty("isCleared").GetBoolean()), TimeSpan.FromMinutes(2));
        JsonElement alarm = Assert.Single(alarms.GetProperty("items").EnumerateArray());
        Assert.Equal("ups-on-battery", alarm.GetProperty("type").GetString());
        Assert.Equal("critical", alarm.GetProperty("severity").GetString());
        Assert.Contains("The UPS says that 37 min are left at 62 % of its charge", alarm.GetProperty("text").GetString(), StringComparison.Ordinal);
    }

    // snmpd.conf(5): override answers an object from the configuration, whatever the agent has of it.
    [Fact]
    public async Task A_UPS_behind_Net_SNMPs_agent_is_read_the_same()
    {
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(
            SnmpdDoors.Values, 2, $"override {Battery}.1.0 integer 2\noverride {Battery}.2.0 integer 75\noverride {Battery}.3.0 integer 52\noverride {Output}.1.0 integer 5\noverride {Output}.4.1.5.1 integer 44\n");
        await using var service = await ServeAsync(folder, agent.Ports[0], agent.Ports[1], SnmpdAgent.Community, SnmpdAgent.Community);

        JsonElement tells = await SeeAsync(service, "on battery", t => t.GetProperty("source").GetString() == "battery");

        Assert.Equal(("normal", 3_120.0, 44), (tells.GetProperty("battery").GetString(), tells.GetProperty("remainingSeconds").GetDouble(), tells.GetProperty("loadPercent").GetInt32()));
        Assert.Equal(JsonValueKind.Null, tells.GetProperty("chargePercent").ValueKind);
        Assert.Equal("", tells.GetProperty("problem").GetString());
    }

    [Fact]
    public async Task Inspect_tells_a_UPS_from_what_is_nothing_of_ours()
    {
        await using var agent = await SnmpdAgent.StartAsync(new Recording(), 1, $"override {Output}.1.0 integer 3\n");
        using var folder = new WorkFolder();
        var settings = folder.Write("settings.json", $$"""{ "credentials": { "default": { "community": "{{SnmpdAgent.Community}}" } } }""");

        var (code, output) = await Service.RunAsync("inspect", FormattableString.Invariant($"127.0.0.1:{agent.Ports[0]}"), "--settings", settings);

        Assert.True(code == 0, output);
        Assert.Contains("No port of POWER-ETHERNET-MIB", output, StringComparison.Ordinal);
        Assert.Contains("It has UPS-MIB (RFC 1628)", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_agent_without_UPS_MIB_is_told_as_that()
    {
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(SnmpdDoors.Values, 2);
        await using var service = await ServeAsync(folder, agent.Ports[0], agent.Ports[1], SnmpdAgent.Community, SnmpdAgent.Community);

        JsonElement tells = await SeeAsync(service, "a problem", t => t.GetProperty("problem").GetString()!.Length > 0);

        Assert.Contains("has no UPS-MIB", tells.GetProperty("problem").GetString(), StringComparison.Ordinal);
        Assert.Equal(JsonValueKind.Null, tells.GetProperty("isOnBattery").ValueKind);
    }

    /// <summary>batteryNormal(2), normal(3); upsOutputTable by line 1 to 3.</summary>
    private static Recording OnMains => Lines(new Recording()
        .Integer(Battery, "1.0", 2).Integer(Battery, "2.0", 0).Integer(Battery, "3.0", 190).Integer(Battery, "4.0", 100).Integer(Output, "1.0", 3));

    /// <summary>batteryLow(3), battery(5), for six minutes.</summary>
    private static Recording OnBattery => Lines(new Recording()
        .Integer(Battery, "1.0", 3).Integer(Battery, "2.0", 360).Integer(Battery, "3.0", 37).Integer(Battery, "4.0", 62).Integer(Output, "1.0", 5));

    private static Recording Lines(Recording recording) => recording.Integer(Output, "3.0", 3)
        .Integer(Output, "4.1.2.1", 231).Integer(Output, "4.1.2.2", 230).Integer(Output, "4.1.2.3", 232)
        .Integer(Output, "4.1.4.1", 90).Integer(Output, "4.1.4.2", 60).Integer(Output, "4.1.4.3", 40)
        .Integer(Output, "4.1.5.1", 31).Integer(Output, "4.1.5.2", 22).Integer(Output, "4.1.5.3", 15);

    private static async Task<JsonElement> SeeAsync(Service service, string what, Func<JsonElement, bool> holds) =>
        Tells(await service.SeeAsync(what, "/api/v1/ups", page => holds(Tells(page))));

    private static JsonElement Tells(JsonElement page) => page.GetProperty("items")[0].GetProperty("tells");

    private static Task<Service> ServeAsync(WorkFolder folder, int switchPort, int upsPort, string switchCommunity, string upsCommunity)
    {
        var design = folder.Write("design.yaml", $$"""
            format: poewatch-design/1
            site: {name: Skerry Haven}
            switches:
              - {id: quay, address: "127.0.0.1:{{switchPort}}", credentials: quay, poll-period: 1s, groups: [{group: 1, port-count: 8, budget-w: 240}]}
            ups:
              - {id: cabinet, name: Battery of the cabinet, feeds: [quay], usable-wh: 800, agent: {address: "127.0.0.1:{{upsPort}}", credentials: battery, poll-period: 1s} }
            """);
        var settings = folder.Write(
            "settings.json", $$"""{ "credentials": { "quay": { "community": "{{switchCommunity}}" }, "battery": { "community": "{{upsCommunity}}" } } }""");
        return Service.ServingAsync(["serve", "--design", design, "--settings", settings, "--data", folder.At("data"), "--port", "0"]);
    }
}
