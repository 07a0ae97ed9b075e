using System.Globalization;
using System.Text.RegularExpressions;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.MakerAgents;
using PoeWatch.Acceptance.Tests.OutsideAgents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Surveys;

/// <summary>Designs drafted by the command out of running agents: they load, and have the ports that deliver.</summary>
public sealed partial class DraftTests : IDisposable
{
    private readonly WorkFolder _folder = new();

    [Fact]
    public async Task Skerry_Haven_drafted_has_a_run_for_each_port_that_its_design_feeds()
    {
        await using var demo = await Service.ServingAsync(["demo", "--calm", "--port", "0", "--data", _folder.At("data")]);
        Dictionary<string, string> agents = AgentLine().Matches(demo.Output).ToDictionary(m => m.Groups["id"].Value, m => m.Groups["address"].Value);

        // The battery's agent is no switch to draw up.
        Assert.True(agents.Remove("ups-cabinet"), demo.Output);
        Assert.Equal(4, agents.Count);
        var designed = await File.ReadAllTextAsync(Path.Combine(Service.RepositoryRoot, "config", "demo", "skerry-haven.yaml"), TestContext.Current.CancellationToken);
        foreach (Match port in FedBy(designed, agents.Keys))
        {
            var number = int.Parse(port.Groups["port"].Value, CultureInfo.InvariantCulture);
            await demo.SeePortAsync("power at a designed port", port.Groups["pse"].Value, 1, number, p => p.GetProperty("state").GetString() == "delivering");
        }

        var settings = _folder.Write("settings.json", """{ "polling": { "timeout": "00:00:05" }, "credentials": { "harbour": { "community": "skerry-haven" } } }""");
        var draft = _folder.At("drafted.yaml");

        var (code, output) = await Service.RunAsync(["draft", .. agents.Values, "--credentials", "harbour", "--settings", settings, "--out", draft]);
        Assert.True(code == 0, output);
        (code, output) = await Service.RunAsync("check", draft);
        Assert.True(code == 0, output);

        var text = await File.ReadAllTextAsync(draft, TestContext.Current.CancellationToken);
        Assert.Equal(FedPorts(designed, agents.Keys), FedPorts(text, agents.Keys));
        foreach (Match port in FedBy(designed, agents.Keys))
        {
            Assert.Contains($"name: {port.Groups["to"].Value},", text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Two_dozen_agents_of_many_makers_and_a_silent_one_are_drafted_in_one_call()
    {
        await using SnmpsimAgent agents = await SnmpsimAgent.StartAsync(MakerRecordings.All);
        string[] ids = [.. MakerRecordings.All.Keys];
        Assert.True(ids.Length > 20);
        var silent = FreePort.Udp();
        var list = _folder.Write("switches.txt", string.Concat(ids.Select(id => FormattableString.Invariant($"127.0.0.1:{agents.PortOf(id)} {id} {id}\n")))
            + FormattableString.Invariant($"\n# the one behind the dead fibre\n127.0.0.1:{silent} {ids[0]} quay-north\n"));
        var settings = _folder.Write(
            "settings.json",
            $$"""{ "polling": { "timeout": "00:00:05", "retries": 1 }, "credentials": { {{string.Join(", ", ids.Select(id => $$"""  "{{id}}": { "community": "{{id}}" }"""))}} } }""");
        var draft = _folder.At("drafted.yaml");

        var (code, output) = await Service.RunAsync("draft", "--from", list, "--settings", settings, "--at-once", "6", "--out", draft);

        // One is missing, which is said; the draft is written all the same.
        Assert.True(code == 1, output);
        Assert.Contains(FormattableString.Invariant($"127.0.0.1:{silent} did not answer"), output, StringComparison.Ordinal);
        var text = await File.ReadAllTextAsync(draft, TestContext.Current.CancellationToken);
        Assert.Equal(ids.Order(StringComparer.Ordinal), SwitchLine().Matches(text).Select(m => m.Groups["id"].Value).Order(StringComparer.Ordinal));
        Assert.Contains("id: quay-north", text, StringComparison.Ordinal);
        (code, output) = await Service.RunAsync("check", draft);
        Assert.True(code == 0, output);
    }

    [Fact]
    public async Task An_agent_that_opens_only_to_a_v3_user_is_drafted_and_a_wrong_passphrase_is_told_as_that()
    {
        await using SnmpdAgent agent = await SnmpdAgent.StartAsync(
            SnmpdDoors.Values, 1, "sysName quay\n", new SnmpdUser("keeper", "SHA-256", "salt-and-iron", "AES", "tide-at-dawn", "authpriv"));
        const string Keeper = "\"version\": \"v3\", \"user\": \"keeper\", \"auth\": \"sha256\", \"privacy\": \"aes128\", \"privacyPassphrase\": \"tide-at-dawn\"";
        var settings = _folder.Write(
            "settings.json",
            $"{{ \"polling\": {{ \"timeout\": \"00:00:05\" }}, \"credentials\": {{ \"keeper\": {{ {Keeper}, \"authPassphrase\": \"salt-and-iron\" }}, \"forger\": {{ {Keeper}, \"authPassphrase\": \"salt-and-steel\" }} }} }}");
        var address = FormattableString.Invariant($"127.0.0.1:{agent.Ports[0]}");
        var draft = _folder.At("drafted.yaml");

        var (code, output) = await Service.RunAsync("draft", address, "--credentials", "forger", "--settings", settings, "--out", draft);
        Assert.True(code == 1 && output.Contains("authentication passphrase or protocol wrong", StringComparison.Ordinal), output);
        Assert.False(File.Exists(draft));

        (code, output) = await Service.RunAsync("draft", address, "--credentials", "keeper", "--settings", settings, "--out", draft);
        Assert.True(code == 0, output);
        var text = await File.ReadAllTextAsync(draft, TestContext.Current.CancellationToken);

        // Ports 1 and 6 of the recording deliver, port 2 does not.
        Assert.Equal(["1", "6"], CableLine().Matches(text).Select(m => m.Groups["port"].Value).Order(StringComparer.Ordinal));
        Assert.Contains("credentials: keeper", text, StringComparison.Ordinal);
        Assert.DoesNotContain("salt-and", text + output, StringComparison.Ordinal);
        (code, output) = await Service.RunAsync("check", draft);
        Assert.True(code == 0, output);
    }

    [Fact]
    public async Task Bad_lists_are_refused_with_their_line_and_nothing_is_written_where_nobody_answers()
    {
        var settings = _folder.Write("settings.json", """{ "polling": { "timeout": "00:00:01", "retries": 0 }, "credentials": { "harbour": { "community": "skerry-haven" } } }""");
        string[] rest = ["--credentials", "harbour", "--settings", settings, "--out", _folder.At("drafted.yaml")];

        var (code, output) = await Service.RunAsync(["draft", "--from", _folder.Write("list.txt", "192.0.2.1\n\n192.0.2.2:99999\n"), .. rest]);
        Assert.True(code == 2 && output.Contains("line 3", StringComparison.Ordinal), output);
        (code, output) = await Service.RunAsync(["draft", .. rest]);
        Assert.True(code == 2 && output.Contains("--from", StringComparison.Ordinal), output);
        (code, output) = await Service.RunAsync(["draft", FormattableString.Invariant($"127.0.0.1:{FreePort.Udp()}"), .. rest]);
        Assert.True(code == 1 && output.Contains("inspect", StringComparison.Ordinal), output);
        Assert.False(File.Exists(_folder.At("drafted.yaml")));
    }

    public void Dispose() => _folder.Dispose();

    private static IEnumerable<Match> FedBy(string design, IReadOnlyCollection<string> pses) => CableLine().Matches(design).Where(m => pses.Contains(m.Groups["pse"].Value));

    // quay-west:1/7 and quay-west:7 are one port.
    private static string[] FedPorts(string design, IReadOnlyCollection<string> pses) =>
    [
        .. FedBy(design, pses).Select(m => $"{m.Groups["pse"].Value}:{m.Groups["port"].Value}").Order(StringComparer.Ordinal),
    ];

    [GeneratedRegex("Simulated agent of (?<id>[a-z-]+) answers at (?<address>[0-9.:]+)")]
    private static partial Regex AgentLine();

    [GeneratedRegex("from: \"?(?<pse>[a-z-]+):(?:1/)?(?<port>[0-9]+)\"?, to: (?<to>[a-z0-9-]+)")]
    private static partial Regex CableLine();

    [GeneratedRegex("(?m)^  - id: (?<id>\\S+)")]
    private static partial Regex SwitchLine();
}
