using System.Net;
using System.Text.Json;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Life;

/// <summary>One headroom alarm from the first watt too much to its end, on an agent that is not ours.</summary>
public sealed class AlarmStoryTests
{
    // docs/headroom.md: common practice, no source.
    private static readonly TimeSpan OnDelay = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan OffDelay = TimeSpan.FromSeconds(60);
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(150);

    [Fact]
    public async Task A_camera_that_draws_too_much_raises_one_alarm_that_outlives_kill_9_and_clears_when_it_is_mended()
    {
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(25_000), 1);
        folder.Write("design.yaml", FerryRamp.Design(agent.Ports[0]));
        folder.Write("settings.json", FerryRamp.Settings);
        JsonElement raised;
        await using (var service = await FerryRamp.ServeAsync(folder))
        {
            await SeeDrawAsync(service, 25);
            Assert.Empty(await HeadroomAlarmsAsync(service));

            agent.Change(FerryRamp.Drawing(58_000));
            var tooMuch = Rest.Time(await SeeDrawAsync(service, 58), "at");
            raised = await SeeAlarmAsync(service, "the headroom alarm", cleared: false);
            Assert.InRange(Rest.Time(raised, "raisedAt") - tooMuch, OnDelay - TimeSpan.FromSeconds(2), Patience);
            Assert.Contains("Ferry ramp", raised.GetProperty("text").GetString(), StringComparison.Ordinal);
            Assert.Contains("58", raised.GetProperty("text").GetString(), StringComparison.Ordinal);

            await AcknowledgeAsync(service, raised);
            await service.KillAsync();
        }

        await using var again = await FerryRamp.ServeAsync(folder);
        var kept = Assert.Single(await HeadroomAlarmsAsync(again));
        Assert.False(kept.GetProperty("isCleared").GetBoolean());
        Assert.Equal(Rest.Time(raised, "raisedAt"), Rest.Time(kept, "raisedAt"));
        Assert.Equal(("ack", "on my way"), (kept.GetProperty("operatorState").GetString(), kept.GetProperty("operatorText").GetString()));

        // Longer than the on-delay after the restart: whoever forgot the alarm would raise it a second time by now.
        var restarted = Rest.Time(await SeeDrawAsync(again, 58), "at");
        await again.SeePortAsync(
            "readings beyond the on-delay", "quay", 1, 1, p => Rest.Time(p, "at") > restarted + OnDelay + TimeSpan.FromSeconds(5), Patience);
        Assert.Equal(["raised", "ack"], await ChangesAsync(again, kept));

        agent.Change(FerryRamp.Drawing(25_000));
        var mended = Rest.Time(await SeeDrawAsync(again, 25), "at");
        var cleared = await SeeAlarmAsync(again, "the alarm cleared", cleared: true);
        Assert.InRange(Rest.Time(cleared, "changedAt") - mended, OffDelay - TimeSpan.FromSeconds(2), Patience);
        string[] whole = ["raised", "ack", "cleared"];
        await Eventually.HoldsAsync(
            "the whole story kept", async () => whole.SequenceEqual(await ChangesAsync(again, kept)), () => again.Output);
    }

    private static Task<JsonElement> SeeDrawAsync(Service service, double watts) => service.SeePortAsync(
        $"a draw of {watts} W at {FerryRamp.Port}", "quay", 1, 1,
        p => p.GetProperty("draw").GetProperty("drawAtPseW") is { ValueKind: JsonValueKind.Number } draw && draw.GetDouble() == watts);

    private static async Task<List<JsonElement>> HeadroomAlarmsAsync(Service service) =>
        [.. (await service.Rest.ItemsAsync("/api/v1/alarms")).Where(a => a.GetProperty("type").GetString() == "headroom-low")];

    private static Task<JsonElement> SeeAlarmAsync(Service service, string what, bool cleared)
    {
        JsonElement found = default, port = default;
        return SeeAsync();

        async Task<JsonElement> SeeAsync()
        {
            await Eventually.HoldsAsync(
                what,
                async () =>
                {
                    port = await service.Rest.GetAsync("/api/v1/ports/quay/1/1");
                    var alarms = await HeadroomAlarmsAsync(service);
                    found = alarms.SingleOrDefault(a => a.GetProperty("resource").GetString()!.StartsWith("run/", StringComparison.Ordinal));
                    return found.ValueKind != JsonValueKind.Undefined && found.GetProperty("isCleared").GetBoolean() == cleared;
                },
                () => $"The port then: {port}{Environment.NewLine}{service.Output}",
                Patience);
            return found;
        }
    }

    private static async Task AcknowledgeAsync(Service service, JsonElement alarm)
    {
        var (status, body) = await service.Rest.SendAsync(
            HttpMethod.Post,
            $"/api/v1/alarms/{Uri.EscapeDataString(alarm.GetProperty("id").GetString()!)}/operator-state",
            """{ "state": "ack", "text": "on my way" }""");
        Assert.True(status == HttpStatusCode.OK, body);
        Assert.Equal("ack", Rest.Read(body).GetProperty("operatorState").GetString());
    }

    private static async Task<IEnumerable<string>> ChangesAsync(Service service, JsonElement alarm) =>
        (await service.Rest.ItemsAsync($"/api/v1/alarm-changes?id={Uri.EscapeDataString(alarm.GetProperty("id").GetString()!)}"))
        .OrderBy(c => Rest.Time(c, "at"))
        .Select(c => c.GetProperty("kind").GetString()!)
        .Where(kind => kind != "severity-changed");
}
