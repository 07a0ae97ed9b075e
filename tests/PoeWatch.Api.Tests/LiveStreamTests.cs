using System.Net;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using PoeWatch.Api.Live;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

public sealed class LiveStreamTests
{
    [Fact]
    public async Task First_event_asks_for_the_lists_and_the_next_brings_only_what_changed()
    {
        await using var api = await ApiHarness.StartAsync();
        await using var stream = await LiveReading.OpenAsync(api);
        var first = await stream.NextAsync();
        Assert.Equal("resync", first.EventType);

        api.Site.Show(Harbour.View(8, change: m => m.PoleId == "quay-02" ? m with { Watts = 27.5 } : m));
        var second = await stream.NextAsync(api.Time);
        Assert.Equal("changes", second.EventType);
        var pole = Assert.Single(second.Data.GetProperty("poles").EnumerateArray());
        Assert.Equal("quay-02", pole.GetProperty("id").GetString());
        Assert.Equal(27.5, pole.GetProperty("draw").GetProperty("drawAtPseW").GetDouble());
        Assert.Equal("measured", pole.GetProperty("draw").GetProperty("provenance").GetString());
        Assert.EndsWith("-8", second.EventId, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Stream_carries_on_from_the_last_event_with_the_sum_of_what_was_missed()
    {
        await using var api = await ApiHarness.StartAsync();
        string? lastId;
        await using (var stream = await LiveReading.OpenAsync(api))
        {
            lastId = (await stream.NextAsync()).EventId;
        }

        api.Site.Show(Harbour.View(8, change: m => m.PoleId == "quay-02" ? m with { Watts = 27.5 } : m));
        await using (var other = await LiveReading.OpenAsync(api))
        {
            await other.NextAsync();
        }

        api.Site.Show(Harbour.View(9, alarms: [.. Harbour.Alarms().Skip(1)], change: m => m.PoleId == "quay-01" ? m with { Watts = 13 } : m));
        await using var resumed = await LiveReading.OpenAsync(api, lastId);
        var missed = await resumed.NextAsync();
        Assert.Equal("changes", missed.EventType);
        Assert.Equal(["quay-01", "quay-02"], missed.Data.GetProperty("poles").EnumerateArray().Select(p => p.GetProperty("id").GetString()));
        Assert.Equal("pole~quay-05~headroom-low", Assert.Single(missed.Data.GetProperty("goneAlarmIds").EnumerateArray()).GetString());
    }

    [Theory]
    [InlineData("1-7")]
    [InlineData("nonsense")]
    [InlineData("7")]
    public async Task Event_ids_of_another_process_or_of_nobody_ask_for_the_lists(string lastId)
    {
        await using var api = await ApiHarness.StartAsync();
        await using var stream = await LiveReading.OpenAsync(api, lastId);
        Assert.Equal("resync", (await stream.NextAsync()).EventType);
    }

    [Fact]
    public async Task Nothing_new_is_said_by_a_heartbeat()
    {
        await using var api = await ApiHarness.StartAsync();
        await using var stream = await LiveReading.OpenAsync(api);
        await stream.NextAsync();
        var heartbeat = await stream.NextAsync(api.Time);
        Assert.Equal("heartbeat", heartbeat.EventType);
        Assert.Equal("good", heartbeat.Data.GetProperty("healthStatus").GetString());
    }

    [Fact]
    public async Task Streams_are_bounded_and_a_place_comes_back()
    {
        await using var api = await ApiHarness.StartAsync(new ApiOptions { LiveStreamsMax = 1 });
        await using (var stream = await LiveReading.OpenAsync(api))
        {
            await stream.NextAsync();
            await api.RefusedAsync(HttpStatusCode.ServiceUnavailable, "/api/v1/stream");
            Assert.Equal(1, (await api.GetAsync("/api/v1/health")).GetProperty("liveStreamCount").GetInt32());
        }

        var health = await api.GetAsync("/api/v1/health");
        for (var i = 0; i < 1_000 && health.GetProperty("liveStreamCount").GetInt32() > 0; i++)
        {
            await Task.Yield();
            health = await api.GetAsync("/api/v1/health");
        }

        Assert.Equal(0, health.GetProperty("liveStreamCount").GetInt32());
    }

    [Fact]
    public async Task A_stopping_service_ends_its_streams()
    {
        await using var api = await ApiHarness.StartAsync();
        await using var stream = await LiveReading.OpenAsync(api);
        await stream.NextAsync();
        api.Services.GetRequiredService<IHostApplicationLifetime>().StopApplication();
        Assert.True(await stream.EndsAsync(api.Time));
    }

    [Fact]
    public void What_is_too_long_ago_to_be_told_asks_for_the_lists()
    {
        var log = new ChangeLog(TimeProvider.System);
        for (var version = 1; version <= 300; version++)
        {
            log.Since(0, Harbour.View(version));
        }

        Assert.True(log.Since(20, Harbour.View(300)).IsResync);
        Assert.False(log.Since(100, Harbour.View(300)).IsResync);
        Assert.True(log.Since(301, Harbour.View(300)).IsResync);
    }

    [Fact]
    public void A_changed_design_asks_for_the_lists()
    {
        var log = new ChangeLog(TimeProvider.System);
        log.Since(0, Harbour.View(1));
        var changed = Harbour.View(2);
        Assert.False(log.Since(1, changed).IsResync);
        var rebuilt = Harbour.View(3) with { Design = Harbour.Design("other-design") };
        Assert.True(log.Since(2, rebuilt).IsResync);
    }
}
