using System.Net;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

public sealed class DemandEndpointTests
{
    [Fact]
    public async Task Site_names_its_worst_load_case_and_its_groups_their_cold_start()
    {
        await using var api = await ApiHarness.StartAsync();
        var answer = await api.GetAsync("/api/v1/demand");

        Assert.Equal("winter-night", answer.GetProperty("loadCases")[0].GetProperty("id").GetString());
        var site = answer.GetProperty("site");
        Assert.Equal("winter-night", site.GetProperty("worst").GetProperty("loadCaseId").GetString());

        // Eight cameras of 25 W, a speaker of 9.5 W and the extender's own 2 W, and losses on top.
        Assert.InRange(site.GetProperty("worst").GetProperty("designDemandW").GetDouble(), (8 * 25) + 9.5 + 2, 270);
        var group = Assert.Single(answer.GetProperty("groups").EnumerateArray());
        Assert.True(group.GetProperty("demand").GetProperty("worst").GetProperty("designDemandW").GetDouble() >= 7 * 25);
        var start = Assert.Single(group.GetProperty("coldStarts").EnumerateArray());
        Assert.Equal((7, 720.0), (start.GetProperty("inrushPortCount").GetInt32(), start.GetProperty("usableW").GetDouble()));

        // Class 4 of 0.45 A at the nominal volts of the ports (IEEE 802.3 clause 145, from memory).
        Assert.InRange(start.GetProperty("inrushW").GetDouble(), 7 * 0.45 * 44, 7 * 0.45 * 57);
        Assert.Equal("design", start.GetProperty("provenance").GetString());
    }

    [Theory]
    [InlineData("poles", 9, 36.5)] // two devices and the extender at mole-03: 25 + 9.5 + 2
    [InlineData("devices", 9, 25)]
    public async Task Places_come_by_what_they_need_most_first(string level, int count, double mostWatts)
    {
        await using var api = await ApiHarness.StartAsync();
        var items = (await api.GetAsync($"/api/v1/demand/{level}")).GetProperty("items").EnumerateArray().ToList();

        var watts = items.Select(p => p.GetProperty("worst").GetProperty("designDemandW").GetDouble()).ToList();
        Assert.Equal(count, items.Count);
        Assert.Equal(watts.OrderDescending(), watts);
        Assert.Equal(mostWatts, watts[0]);
        Assert.All(items, p => Assert.Equal(JsonValueKind.Null, p.GetProperty("worst").GetProperty("whoPages").ValueKind));
    }

    [Fact]
    public async Task Runs_and_switches_have_a_list_too_and_pages_go_on()
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Single((await api.GetAsync("/api/v1/demand/switches")).GetProperty("items").EnumerateArray());
        var first = await api.GetAsync("/api/v1/demand/runs?limit=3");
        var next = await api.GetAsync($"/api/v1/demand/runs?limit=3&cursor={first.GetProperty("nextCursor").GetString()}");

        Assert.Equal("injector-mole", first.GetProperty("items")[0].GetProperty("id").GetString());
        Assert.DoesNotContain(next.GetProperty("items").EnumerateArray(), p => p.GetProperty("id").GetString() == "injector-mole");
    }

    [Fact]
    public async Task Rejects_a_level_that_there_is_not()
    {
        await using var api = await ApiHarness.StartAsync();
        var problem = await api.RefusedAsync(HttpStatusCode.NotFound, "/api/v1/demand/ports");

        Assert.Contains("switches, poles, runs, devices", problem.GetProperty("remedy").GetString(), StringComparison.Ordinal);
    }
}
