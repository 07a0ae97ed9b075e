using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Notifications;

/// <summary>
/// Net-SNMP's snmptrap and snmpinform (Debian package snmp) against the whole program. The switches have a period of 15 minutes and their first slot is
/// more than a minute away, so whatever is seen of them sooner came by a notification.
/// </summary>
public sealed class NotificationTests : IAsyncLifetime
{
    private const string OnOff = ".1.3.6.1.2.1.105.0.1";
    private static readonly string[] s_state = [".1.3.6.1.2.1.105.1.1.1.6.1.1", "i", "3"];
    private static readonly string[] s_keeper = ["-v3", "-u", "keeper", "-a", "SHA", "-A", "salt-and-iron", "-x", "AES", "-X", "tide-at-dawn", "-l", "authPriv"];

    private readonly WorkFolder _folder = new();
    private readonly int _port = FreePort.Udp();
    private SnmpdAgent _agent = null!;
    private Service _service = null!;

    public async ValueTask InitializeAsync()
    {
        _agent = await SnmpdAgent.StartAsync(Values(searching: true), 2, new SnmpdUser("keeper", "SHA", "salt-and-iron", "AES", "tide-at-dawn", "authpriv"));
        var switches = new[] { "quay", "mole" }.Select((id, i) => $$"""
              - {id: {{id}}, address: "127.0.0.1:{{_agent.Ports[i]}}", credentials: {{id}}, poll-period: 15min, groups: [{group: 1, port-count: 8, budget-w: 240}]}
            """);
        var design = _folder.Write("design.yaml", $"format: poewatch-design/1\nsite: {{name: Skerry Haven}}\nswitches:\n{string.Join('\n', switches)}\n");
        var settings = _folder.Write("settings.json", $$"""
            { "notifications": { "address": "127.0.0.1", "port": {{_port}} },
              "credentials": {
                "quay": { "community": "{{SnmpdAgent.Community}}" },
                "mole": { "version": "v3", "user": "keeper", "auth": "sha1", "authPassphrase": "salt-and-iron", "privacy": "aes128", "privacyPassphrase": "tide-at-dawn" } } }
            """);
        _service = await Service.ServingAsync(["serve", "--design", design, "--settings", settings, "--data", _folder.At("data"), "--port", "0"]);
    }

    [Fact]
    public async Task A_trap_or_inform_of_v2c_polls_its_switch_at_once_and_a_wrong_community_does_not()
    {
        await RunAsync("snmptrap", 0, ["-v2c", "-c", "harbour-raed"]);
        await SeeMetricAsync("poewatch_notification_refused", "wrong-community");
        Assert.NotEqual("answered", Outcome(await _service.Rest.GetAsync("/api/v1/switches/quay")));

        await RunAsync("snmptrap", 0, ["-v2c", "-c", SnmpdAgent.Community]);
        await SeeAnswerAsync("quay", "searching");
        Assert.NotEqual("answered", Outcome(await _service.Rest.GetAsync("/api/v1/switches/mole")));

        // An inform that nobody answers makes snmpinform fail.
        _agent.Change(Values(searching: false));
        await RunAsync("snmpinform", 0, ["-v2c", "-c", SnmpdAgent.Community]);
        await SeeAnswerAsync("quay", "delivering");
        await RunAsync("snmpinform", 1, ["-v2c", "-c", "harbour-raed", "-r", "0"]);
    }

    [Fact]
    public async Task A_trap_or_inform_of_v3_polls_its_switch_at_once_and_one_that_is_not_authentic_does_not()
    {
        string[] forger = [.. s_keeper.Select(word => word == "salt-and-iron" ? "salt-and-steel" : word)];
        await RunAsync("snmptrap", 0, [.. forger, "-e", "0x80000000050a0b0c"]);
        await SeeMetricAsync("poewatch_notification_refused", "wrong-digest");
        await RunAsync("snmptrap", 0, ["-v3", "-u", "keeper", "-l", "noAuthNoPriv", "-e", "0x80000000050a0b0c"]);
        await SeeMetricAsync("poewatch_notification_refused", "wrong-level");
        Assert.NotEqual("answered", Outcome(await _service.Rest.GetAsync("/api/v1/switches/mole")));

        await RunAsync("snmptrap", 0, [.. s_keeper, "-e", "0x80000000050a0b0c"]);
        await SeeAnswerAsync("mole", "searching");
        Assert.NotEqual("answered", Outcome(await _service.Rest.GetAsync("/api/v1/switches/quay")));

        _agent.Change(Values(searching: false));
        await RunAsync("snmpinform", 0, s_keeper);
        await SeeAnswerAsync("mole", "delivering");
        await RunAsync("snmpinform", 1, [.. forger, "-r", "0"]);
        await SeeMetricAsync("poewatch_notification_accepted", "port-on-off");
        Assert.DoesNotContain("salt-and", _service.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_trap_that_is_captured_and_sent_five_hundred_times_is_one_poll()
    {
        using var wire = new UdpClient(new IPEndPoint(IPAddress.Loopback, 0));
        await RunAsync("snmptrap", 0, [.. s_keeper, "-e", "0x80000000050a0b0c"], ((IPEndPoint)wire.Client.LocalEndPoint!).Port);
        byte[] captured = (await wire.ReceiveAsync(TestContext.Current.CancellationToken)).Buffer;

        for (var i = 0; i < 500; i++)
        {
            await wire.SendAsync(captured, new IPEndPoint(IPAddress.Loopback, _port), TestContext.Current.CancellationToken);
        }

        await SeeAnswerAsync("mole", "searching");
        await SeeMetricAsync("poewatch_notification_refused", "repeated");
        await SeeMetricAsync("poewatch_notification_refused", "too-many");
        var (_, metrics) = await _service.Rest.SendAsync(HttpMethod.Get, "/metrics");
        Assert.EndsWith(" 1", Assert.Single(metrics.Split('\n'), line => line.StartsWith("poewatch_notification_polls_total", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.Equal(1, _service.Output.Split("Notifications from 127.0.0.1 are not taken: more come than are taken").Length - 1);
    }

    [Fact]
    public async Task A_port_that_is_taken_refuses_the_start_and_names_port_and_remedy()
    {
        var settings = _folder.Write("second.json", $$"""{ "notifications": { "address": "127.0.0.1", "port": {{_port}} } }""");
        var (code, output) = await Service.RunAsync(
            "serve", "--design", _folder.At("design.yaml"), "--settings", settings, "--data", _folder.At("second"), "--port", "0");

        Assert.True(code == 3, output);
        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"UDP port {_port} on 127.0.0.1 cannot be listened on for notifications"), output, StringComparison.Ordinal);
    }

    public async ValueTask DisposeAsync()
    {
        await (_service?.DisposeAsync() ?? ValueTask.CompletedTask);
        await (_agent?.DisposeAsync() ?? ValueTask.CompletedTask);
        _folder.Dispose();
    }

    private static Recording Values(bool searching) => new Recording()
        .Port(1, 1, state: searching ? 2 : 3, classification: 4)
        .Group(1, powerW: 240, drawW: searching ? 0 : 9);

    private static string? Outcome(JsonElement detail) => detail.GetProperty("switch").GetProperty("agent").GetProperty("outcome").GetString();

    private async Task RunAsync(string program, int code, string[] credentials, int? port = null)
    {
        var environment = new Dictionary<string, string?>
        {
            ["MIBS"] = "", ["MIBDIRS"] = "", ["SNMPCONFPATH"] = _folder.At("none"), ["SNMP_PERSISTENT_DIR"] = _folder.At("sender"),
        };
        await using var running = OutsideProgram.Start(
            OutsideProgram.Find(program, "snmp"),
            [.. credentials, string.Create(CultureInfo.InvariantCulture, $"127.0.0.1:{port ?? _port}"), "4711", OnOff, .. s_state], environment, _folder.Path);
        var ended = await running.ExitAsync();

        Assert.True(ended == code, $"{running.Output}{Environment.NewLine}{_service.Output}");
    }

    private async Task SeeAnswerAsync(string pseId, string state) => await _service.SeeAsync(
        $"'{pseId}' polled and port 1 {state}",
        $"/api/v1/switches/{pseId}",
        s => Outcome(s) == "answered" && s.GetProperty("ports").EnumerateArray().First().GetProperty("state").GetString() == state);

    private async Task SeeMetricAsync(string name, string label)
    {
        var newest = string.Empty;
        await Eventually.HoldsAsync(
            $"{name} of {label}",
            async () =>
            {
                (HttpStatusCode _, newest) = await _service.Rest.SendAsync(HttpMethod.Get, "/metrics");
                return newest.Split('\n').Any(line => line.StartsWith(name, StringComparison.Ordinal) && line.Contains($"\"{label}\"", StringComparison.Ordinal));
            },
            () => $"{newest}{Environment.NewLine}{_service.Output}");
    }
}
