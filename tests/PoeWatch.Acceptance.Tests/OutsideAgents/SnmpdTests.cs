using System.Text.Json;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.OutsideAgents;

/// <summary>Net-SNMP's agent over v2c and v3: the values arrive, and whoever is turned away is told why.</summary>
public sealed class SnmpdTests(SnmpdDoors doors) : IClassFixture<SnmpdDoors>
{
    [Theory]
    [InlineData("community")]
    [InlineData("sha-aes")]
    [InlineData("sha256-aes")]
    [InlineData("sha512-aes256")]
    [InlineData("sha-only")]
    public async Task Values_of_the_agent_arrive_by_every_right_way(string door)
    {
        var seen = await SeeOutcomeAsync(door, "answered");

        Assert.Equal(
            [
                (1, "delivering", 18.25, null, "measured", "port1"),
                (2, "searching", 0.0, null, "off", "port2"),
                // class2(3) bounds at 7.0 W at the PSE (IEEE Std 802.3).
                (6, "delivering", null, 7.0, "class-bound", "port6"),
            ],
            seen.GetProperty("ports").EnumerateArray().Select(p => (
                p.GetProperty("portNumber").GetInt32(),
                p.GetProperty("state").GetString()!,
                Number(p.GetProperty("draw").GetProperty("drawAtPseW")),
                Number(p.GetProperty("draw").GetProperty("ceilingAtPseW")),
                p.GetProperty("draw").GetProperty("provenance").GetString()!,
                p.GetProperty("interfaceName").GetString()!)));
        var group = Assert.Single(seen.GetProperty("switch").GetProperty("groups").EnumerateArray());
        Assert.Equal(24, group.GetProperty("draw").GetProperty("drawAtPseW").GetDouble());
    }

    [Theory]
    [InlineData("wrong-community", "silent", "community in 'wrong-community'")]
    [InlineData("wrong-user", "refused", "does not know the SNMPv3 user of 'wrong-user'")]
    [InlineData("wrong-digest", "refused", "rejects the authentication of 'wrong-digest'")]
    [InlineData("wrong-digest-kind", "refused", "rejects the authentication of 'wrong-digest-kind'")]
    [InlineData("level-too-high", "refused", "at another security level")]
    [InlineData("level-too-low", "refused", "refuses 'level-too-low' access to these objects")]
    [InlineData("wrong-privacy", "refused", "the privacy passphrase or protocol of 'wrong-privacy' is probably wrong")]
    public async Task Each_wrong_credential_is_told_apart_by_outcome_and_message(string door, string outcome, string cause)
    {
        var seen = await SeeOutcomeAsync(door, outcome);

        Assert.Contains(cause, Agent(seen).GetProperty("detail").GetString(), StringComparison.Ordinal);
        Assert.Empty(seen.GetProperty("ports").EnumerateArray());
    }

    [Fact]
    public async Task Whoever_is_turned_away_raises_one_alarm_with_the_cause_and_no_secret_is_shown()
    {
        string[] refused = ["wrong-user", "wrong-digest", "wrong-digest-kind", "level-too-high", "level-too-low", "wrong-privacy"];
        IReadOnlyList<JsonElement> alarms = [];

        await Eventually.HoldsAsync(
            "one poll-refused alarm for each refused switch and one for the silent one",
            async () =>
            {
                alarms = await doors.Service.Rest.ItemsAsync("/api/v1/alarms?cleared=false");
                return alarms.Count(a => Type(a) == "poll-refused") >= refused.Length && alarms.Any(a => Type(a) == "switch-silent");
            },
            () => $"{string.Join(Environment.NewLine, alarms)}{Environment.NewLine}{doors.Service.Output}",
            TimeSpan.FromSeconds(150));

        Assert.Equal(
            refused.Select(id => $"switch/{id}").Order(),
            alarms.Where(a => Type(a) == "poll-refused").Select(a => a.GetProperty("resource").GetString()!).Order());
        Assert.Equal("switch/wrong-community", Assert.Single(alarms, a => Type(a) == "switch-silent").GetProperty("resource").GetString());
        var shown = string.Concat(alarms.Select(a => a.GetRawText())) + await doors.Service.Rest.GetAsync("/api/v1/switches") + doors.Service.Output;
        foreach (var secret in new[] { "salt-and", "tide-at", "rope-and", "harbour-r" })
        {
            Assert.DoesNotContain(secret, shown, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Inspect_shows_what_the_agent_offers()
    {
        using var folder = new WorkFolder();
        var settings = folder.Write("settings.json", $$"""{ "credentials": { "harbour": { "community": "{{Agents.SnmpdAgent.Community}}" } } }""");

        var (code, output) = await Service.RunAsync(
            "inspect", FormattableString.Invariant($"127.0.0.1:{doors.Agent.Ports[0]}"), "--credentials", "harbour", "--settings", settings);

        Assert.True(code == 0, output);
        Assert.Contains("group 1: budget 240 W, draw 24 W", output, StringComparison.Ordinal);
        Assert.Matches(@"read +IEEE 802\.3\.1 actual power: .*1\.3\.111\.2\.802\.3\.1\.8\.1\.1\.1\.15", output);
        Assert.Matches(@"port 1/1 +delivering +class 4 +18\.25 W +measured, IEEE 802\.3\.1 actual power, step 0\.001 W", output);
        Assert.Matches(@"port1 \(ifIndex 101: ", output);
        Assert.Matches(@"port 1/2 +searching +- ", output);
    }

    private static string Type(JsonElement alarm) => alarm.GetProperty("type").GetString()!;

    private static JsonElement Agent(JsonElement detail) => detail.GetProperty("switch").GetProperty("agent");

    private static double? Number(JsonElement value) => value.ValueKind == JsonValueKind.Null ? null : value.GetDouble();

    private Task<JsonElement> SeeOutcomeAsync(string door, string outcome) => doors.Service.SeeAsync(
        $"'{door}' {outcome}", $"/api/v1/switches/{door}", s => Agent(s).GetProperty("outcome").GetString() == outcome);
}
