using System.Text.Json;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Demo;

/// <summary>The demo as a newcomer meets it: live watts soon, Ctrl-C ends it cleanly, the second start carries on.</summary>
[Collection(nameof(Timed))]
public sealed class DemoTests
{
    private static readonly TimeSpan FirstPolls = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan LiveWatts = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan End = TimeSpan.FromSeconds(10);

    [Fact]
    public async Task Watts_are_live_at_once_Ctrl_C_ends_it_cleanly_and_the_second_start_has_the_same_history()
    {
        using var folder = new WorkFolder();
        string[] command = ["demo", "--port", "0", "--data", folder.At("data")];
        string port;
        DateTimeOffset kept;
        DateTimeOffset began;
        await using (var demo = await Service.ServingAsync(command))
        {
            var listens = TimeProvider.System.GetUtcNow();
            began = Rest.Time(await demo.Rest.GetAsync("/api/v1/health"), "startedAt");
            var pole = await SeeMeasuredPoleAsync(demo);
            Assert.True(pole.GetProperty("draw").GetProperty("drawAtPseW").GetDouble() > 0, $"{pole}");
            Assert.Equal(14, (await demo.Rest.ItemsAsync("/api/v1/poles")).Count);
            (port, kept) = await SeeKeptPortAsync(demo);
            await AssertFirstPollsAsync(demo, began, listens + FirstPolls);
            Assert.Equal(0, await demo.InterruptAsync(End));
        }

        await using var second = await Service.ServingAsync(command);
        await SeeMeasuredPoleAsync(second);
        var readings = (await ExportFile.ReadAsync(second.Rest, began, TimeProvider.System.GetUtcNow())).Readings(port);
        Assert.Contains(readings, r => r.At == kept);
        Assert.Equal(0, await second.InterruptAsync(End));
    }

    private static async Task AssertFirstPollsAsync(Service demo, DateTimeOffset began, DateTimeOffset latest)
    {
        IReadOnlyList<string> elements = [.. (await demo.Rest.ItemsAsync("/api/v1/switches")).Select(s => s.GetProperty("id").GetString()!)];
        Assert.Equal(4, elements.Count);
        Dictionary<string, DateTimeOffset> first = [];
        await Eventually.HoldsAsync(
            "a kept reading of every element",
            async () =>
            {
                var records = await ExportFile.ReadAsync(demo.Rest, began, TimeProvider.System.GetUtcNow());
                first = records.Where(r => r.Kind == "reading").GroupBy(r => r.Fields["pse_id"]).ToDictionary(r => r.Key, r => r.Min(one => one.At));
                return elements.All(first.ContainsKey);
            },
            () => demo.Output,
            LiveWatts);
        Assert.All(first, f => Assert.True(f.Value <= latest, $"{f.Key} was first read at {f.Value:O}, later than {latest:O}. {demo.Output}"));
    }

    private static async Task<JsonElement> SeeMeasuredPoleAsync(Service demo)
    {
        JsonElement found = default;
        await Eventually.HoldsAsync(
            "a pole with live watts",
            async () =>
            {
                found = (await demo.Rest.ItemsAsync("/api/v1/poles")).FirstOrDefault(p => p.GetProperty("draw").GetProperty("provenance").GetString() == "measured");
                return found.ValueKind != JsonValueKind.Undefined;
            },
            () => demo.Output,
            LiveWatts);
        return found;
    }

    private static async Task<(string Port, DateTimeOffset At)> SeeKeptPortAsync(Service demo)
    {
        var port = await demo.SeePortAsync("a kept reading", "quay-west", 1, 1, p => p.GetProperty("kept") is { ValueKind: JsonValueKind.True });
        return (port.GetProperty("portRef").GetString()!, Rest.Time(port, "at"));
    }
}
