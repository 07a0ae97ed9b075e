using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.MakerAgents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Surveys;

/// <summary>
/// Agents that are not ours, recorded by the command and played again by snmpsim: what the service makes of the replay is what it made of the agent.
/// </summary>
public sealed class RecordTests : IDisposable
{
    private static readonly string[] s_makers = ["pointer-stack", "text-watts", "neighbour", "volts-amperes", "entity-watts", "granted-over-lldp"];

    private readonly WorkFolder _folder = new();

    [Fact]
    public async Task A_replay_of_a_recording_is_inspected_as_the_agent_itself()
    {
        await using SnmpsimAgent first = await SnmpsimAgent.StartAsync(s_makers.ToDictionary(id => id, id => MakerRecordings.All[id]));
        Dictionary<string, string> texts = [];
        foreach (var id in s_makers)
        {
            texts[id] = await RecordAsync(first.PortOf(id), id);
        }

        await using SnmpsimAgent second = await SnmpsimAgent.StartAsync(texts);
        foreach (var id in s_makers)
        {
            Assert.Equal(await InspectAsync(first.PortOf(id), id), await InspectAsync(second.PortOf(id), id));
        }
    }

    [Fact]
    public async Task The_agent_of_Net_SNMP_is_replayed_too()
    {
        await using SnmpdAgent agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(20_000), 1);
        var text = await RecordAsync(agent.Ports[0], SnmpdAgent.Community);

        await using SnmpsimAgent replay = await SnmpsimAgent.StartAsync(new Dictionary<string, string> { [SnmpdAgent.Community] = text });

        Assert.Equal(await InspectAsync(agent.Ports[0], SnmpdAgent.Community), await InspectAsync(replay.PortOf(SnmpdAgent.Community), SnmpdAgent.Community));
        Assert.DoesNotContain(SnmpdAgent.Community, text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_scrubbed_recording_has_the_same_ports_and_watts_and_other_names()
    {
        const string Id = "neighbour";
        await using SnmpsimAgent agent = await SnmpsimAgent.StartAsync(new Dictionary<string, Recording> { [Id] = MakerRecordings.All[Id] });
        var text = await RecordAsync(agent.PortOf(Id), Id, "--scrub");
        await using SnmpsimAgent replay = await SnmpsimAgent.StartAsync(new Dictionary<string, string> { [Id] = text });

        string[] before = await InspectAsync(agent.PortOf(Id), Id);
        string[] after = await InspectAsync(replay.PortOf(Id), Id);

        Assert.Equal(before.Where(IsPort), after.Where(IsPort));
        var named = before.Single(line => line.Contains(", neighbour ", StringComparison.Ordinal));
        var name = named[(named.LastIndexOf(' ') + 1)..];
        Assert.DoesNotContain(name, text, StringComparison.Ordinal);
        Assert.Contains(after, line => line.Contains(", neighbour name-", StringComparison.Ordinal));

        static bool IsPort(string line) => line.StartsWith("port ", StringComparison.Ordinal) || line.StartsWith("group ", StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_silent_agent_leaves_no_file_and_bad_input_is_told_apart()
    {
        var silent = FormattableString.Invariant($"127.0.0.1:{FreePort.Udp()}");
        string[] rest = ["--settings", Settings("quay"), "--out", _folder.At("never.snmprec")];

        Assert.Equal(1, (await Service.RunAsync(["record", silent, "--credentials", "quay", .. rest])).ExitCode);
        Assert.False(File.Exists(_folder.At("never.snmprec")));

        var (code, output) = await Service.RunAsync(["record", silent, .. rest]);
        Assert.True(code == 2 && output.Contains("--credentials", StringComparison.Ordinal), output);
        (code, output) = await Service.RunAsync(["record", silent, "--credentials", "quay", "--also", "1.3.6.1.6.3.18", .. rest]);
        Assert.True(code == 2 && output.Contains("never recorded", StringComparison.Ordinal), output);

        _folder.Write("never.snmprec", "mine");
        (code, output) = await Service.RunAsync(["record", silent, "--credentials", "quay", .. rest]);
        Assert.True(code == 3 && output.Contains("--out", StringComparison.Ordinal), output);
        Assert.Equal("mine", await File.ReadAllTextAsync(_folder.At("never.snmprec"), TestContext.Current.CancellationToken));
    }

    public void Dispose() => _folder.Dispose();

    private string Settings(string community) => _folder.Write(
        $"{community}.json", $$"""{ "polling": { "timeout": "00:00:05" }, "credentials": { "{{community}}": { "community": "{{community}}" } } }""");

    private async Task<string> RecordAsync(int port, string community, params string[] more)
    {
        var file = _folder.At(community + ".snmprec");
        var (code, output) = await Service.RunAsync(
            ["record", FormattableString.Invariant($"127.0.0.1:{port}"), "--credentials", community, "--settings", Settings(community), "--out", file, .. more]);
        Assert.True(code == 0, output);
        return await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken);
    }

    // Without the command itself and the up time, which goes on, and without the search through a maker's tree, which is recorded only where asked for.
    private async Task<string[]> InspectAsync(int port, string community)
    {
        var (code, output) = await Service.RunAsync(
            "inspect", FormattableString.Invariant($"127.0.0.1:{port}"), "--credentials", community, "--settings", Settings(community));
        Assert.True(code == 0, output);
        string[] lines =
        [
            .. output.Split(Environment.NewLine).Skip(1).TakeWhile(line => !line.StartsWith("No draw sheet fits", StringComparison.Ordinal))
                .Where(line => !line.StartsWith("up time", StringComparison.Ordinal)),
        ];
        Assert.Contains(lines, line => line.StartsWith("port ", StringComparison.Ordinal));
        return lines;
    }
}
