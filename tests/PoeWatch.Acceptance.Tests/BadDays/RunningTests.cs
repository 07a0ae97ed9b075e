using System.Net;
using System.Text.Json;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.BadDays;

/// <summary>Bad days of a running service: answers that cannot be read, a switch that goes away, a disk that fills up.</summary>
public sealed class RunningTests
{
    private const int Seed = 3621;

    public static TheoryData<string> Spoilings => ["half", "noise", "empty", "flipped"];

    [Theory]
    [MemberData(nameof(Spoilings))]
    public async Task Answers_that_cannot_be_read_make_a_port_unknown_not_zero_and_pass_when_they_are_readable_again(string spoiling)
    {
        TestContext.Current.SendDiagnosticMessage("seed {0}", Seed);
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(23_000), 1);
        await using var relay = new Relay(agent.Ports[0]);
        folder.Write("design.yaml", FerryRamp.Design(relay.Port));
        folder.Write("settings.json", FerryRamp.Settings);
        await using var service = await FerryRamp.ServeAsync(folder);
        await service.SeePortAsync("23 W", "quay", 1, 1, p => Provenance(p) == "measured");

        relay.Spoil(Spoiler(spoiling, new Random(Seed)));
        var seen = await service.SeeAsync(
            "an outcome that is no answer", "/api/v1/switches/quay", s => Agent(s).GetProperty("outcome").GetString() is "malformed" or "silent" or "partial");
        Assert.NotEmpty(Agent(seen).GetProperty("detail").GetString()!);
        var port = await service.SeePortAsync("an unknown draw", "quay", 1, 1, p => Provenance(p) == "unknown");
        Assert.Equal(JsonValueKind.Null, port.GetProperty("draw").GetProperty("drawAtPseW").ValueKind);

        relay.Spoil(answer => answer);
        await service.SeePortAsync("23 W again", "quay", 1, 1, p => Provenance(p) == "measured");
    }

    [Fact]
    public async Task A_switch_that_goes_away_is_silent_with_the_cause_and_its_ports_are_unknown()
    {
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(23_000), 1);
        folder.Write("design.yaml", FerryRamp.Design(agent.Ports[0]));
        folder.Write("settings.json", FerryRamp.Settings);
        await using var service = await FerryRamp.ServeAsync(folder);
        await service.SeePortAsync("23 W", "quay", 1, 1, p => Provenance(p) == "measured");

        agent.Kill();

        var seen = await service.SeeAsync("silence", "/api/v1/switches/quay", s => Agent(s).GetProperty("outcome").GetString() == "silent");
        Assert.Contains("nobody listens there", Agent(seen).GetProperty("detail").GetString(), StringComparison.Ordinal);
        var port = await service.SeePortAsync("an unknown draw", "quay", 1, 1, p => Provenance(p) == "unknown");
        Assert.Equal(JsonValueKind.Null, port.GetProperty("draw").GetProperty("drawAtPseW").ValueKind);
        Assert.Equal("unknown", Assert.Single(await service.Rest.ItemsAsync("/api/v1/poles")).GetProperty("draw").GetProperty("provenance").GetString());
    }

    [Fact]
    public async Task On_a_full_disk_readings_wait_health_says_so_and_they_are_kept_when_there_is_room()
    {
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(24_000), 1);
        folder.Write("design.yaml", FerryRamp.Design(agent.Ports[0]));
        folder.Write("settings.json", FerryRamp.Settings);
        var began = TimeProvider.System.GetUtcNow();
        await using var disk = new SmallDisk(folder);
        var service = await disk.ServeAsync();
        var first = Rest.Time(await SeeKeptAsync(service), "at");

        disk.Fill();
        JsonElement health = default;
        await Eventually.HoldsAsync(
            "health that names the full disk",
            async () =>
            {
                health = Rest.Read((await service.Rest.SendAsync(HttpMethod.Get, "/api/v1/health")).Body);
                return health.GetRawText().Contains("full disk", StringComparison.Ordinal) && health.GetProperty("waitingReadingsCount").GetInt32() > 1;
            },
            () => $"{health} {service.Output}",
            TimeSpan.FromSeconds(120));
        Assert.Equal(HttpStatusCode.ServiceUnavailable, (await service.Rest.SendAsync(HttpMethod.Get, "/api/v1/health/ready")).Status);
        var unkept = await service.SeePortAsync("live values that are not kept", "quay", 1, 1, p => !p.GetProperty("kept").GetBoolean());

        disk.MakeRoom();
        var last = Rest.Time(await SeeKeptAsync(service), "at");

        // Kept may mean the spool, as soon as there is room for it: the store has it a moment later.
        IReadOnlyList<ExportRecord> export = [];
        await Eventually.HoldsAsync(
            "an export with the reading that had to wait",
            async () =>
            {
                export = await ExportFile.ReadAsync(service.Rest, began, TimeProvider.System.GetUtcNow());
                return export.Readings(FerryRamp.Port).Any(r => r.At == Rest.Time(unkept, "at"));
            },
            () => service.Output);
        Assert.DoesNotContain(export, r => r.Kind == "gap" && r.Port == FerryRamp.Port && r.At > first && r.At < last);
    }

    private static Func<byte[], byte[]> Spoiler(string name, Random chance) => name switch
    {
        "half" => answer => answer[..(answer.Length / 2)],
        "noise" => answer => Noise(answer, chance),
        "empty" => _ => [],
        _ => answer => Damage(answer, chance),
    };

    private static byte[] Noise(byte[] answer, Random chance)
    {
        chance.NextBytes(answer);
        return answer;
    }

    // Behind the head with version, community and request id, so that the answer still finds its request.
    private static byte[] Damage(byte[] answer, Random chance)
    {
        for (var i = 40; i < answer.Length; i += 3)
        {
            answer[i] ^= (byte)chance.Next(1, 256);
        }

        return answer;
    }

    private static Task<JsonElement> SeeKeptAsync(Service service) => service.SeePortAsync(
        "a kept reading", "quay", 1, 1, p => p.GetProperty("kept") is { ValueKind: JsonValueKind.True });

    private static string? Provenance(JsonElement port) => port.GetProperty("draw").GetProperty("provenance").GetString();

    private static JsonElement Agent(JsonElement detail) => detail.GetProperty("switch").GetProperty("agent");
}
