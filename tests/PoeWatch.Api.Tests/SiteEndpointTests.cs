using System.Net;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

public sealed class SiteEndpointTests
{
    [Fact]
    public async Task Site_counts_poles_by_grade_and_active_alarms()
    {
        await using var api = await ApiHarness.StartAsync();
        var site = await api.GetAsync("/api/v1/site");
        Assert.Equal("Skerry Haven", site.GetProperty("name").GetString());
        Assert.Equal(2, site.GetProperty("poleCountByGrade").GetProperty("ample").GetInt32());
        Assert.Equal(1, site.GetProperty("poleCountByGrade").GetProperty("unmetered").GetInt32());
        Assert.Equal(3, site.GetProperty("activeAlarmCount").GetInt32());
        Assert.Equal("2026-11-24T21:30:00.000Z", site.GetProperty("at").GetString());
    }

    [Fact]
    public async Task Switch_shows_its_agent_its_groups_and_its_ports_in_order()
    {
        await using var api = await ApiHarness.StartAsync();
        var pse = await api.GetAsync("/api/v1/switches/quay-west");
        Assert.Equal("answered", pse.GetProperty("switch").GetProperty("agent").GetProperty("outcome").GetString());
        var group = pse.GetProperty("switch").GetProperty("groups")[0];
        Assert.Equal(JsonValueKind.Null, group.GetProperty("draw").GetProperty("drawAtPseW").ValueKind);
        Assert.Equal(128.6, group.GetProperty("draw").GetProperty("ceilingAtPseW").GetDouble());
        Assert.True(group.GetProperty("headroomAtLeast").GetBoolean());
        Assert.Equal(
            Harbour.Masts.Select(m => m.PortRef), pse.GetProperty("ports").EnumerateArray().Select(p => p.GetProperty("portRef").GetString()));
    }

    [Fact]
    public async Task Unknown_draw_is_null_with_its_provenance_and_never_0()
    {
        await using var api = await ApiHarness.StartAsync();
        var draw = (await api.GetAsync("/api/v1/ports/quay-west/1/6")).GetProperty("draw");
        Assert.Equal(JsonValueKind.Null, draw.GetProperty("drawAtPseW").ValueKind);
        Assert.Equal(JsonValueKind.Null, draw.GetProperty("ceilingAtPseW").ValueKind);
        Assert.Equal("unknown", draw.GetProperty("provenance").GetString());
    }

    [Fact]
    public async Task A_port_that_is_off_draws_0_as_a_fact()
    {
        await using var api = await ApiHarness.StartAsync();
        var draw = (await api.GetAsync("/api/v1/ports/quay-west/1/7")).GetProperty("draw");
        Assert.Equal(0, draw.GetProperty("drawAtPseW").GetDouble());
        Assert.Equal("off", draw.GetProperty("provenance").GetString());
    }

    [Fact]
    public async Task A_class_bound_is_a_ceiling_and_not_a_draw()
    {
        await using var api = await ApiHarness.StartAsync();
        var draw = (await api.GetAsync("/api/v1/ports/quay-west/1/3")).GetProperty("draw");
        Assert.Equal(JsonValueKind.Null, draw.GetProperty("drawAtPseW").ValueKind);
        Assert.Equal(30, draw.GetProperty("ceilingAtPseW").GetDouble());
        Assert.Equal("class-bound", draw.GetProperty("provenance").GetString());
    }

    [Theory]
    [InlineData(1, true)]
    [InlineData(0, false)]
    public async Task Reading_is_marked_kept_only_once_it_is_synced(long keptSequence, bool kept)
    {
        await using var api = await ApiHarness.StartAsync(view: Harbour.View(keptSequence: keptSequence));
        Assert.Equal(kept, (await api.GetAsync("/api/v1/ports/quay-west/1/1")).GetProperty("kept").GetBoolean());
        Assert.Equal(kept, (await api.GetAsync("/api/v1/poles/quay-01")).GetProperty("pole").GetProperty("kept").GetBoolean());
    }

    [Theory]
    [InlineData("/api/v1/ports/quay-west/1/44", "quay-west:1/44")]
    [InlineData("/api/v1/switches/quay-east", "quay-east")]
    [InlineData("/api/v1/poles/quay-99", "quay-99")]
    [InlineData("/api/v1/runs?pole=quay-99", "quay-99")]
    public async Task Element_that_is_not_there_is_named(string path, string value)
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal(value, (await api.RefusedAsync(HttpStatusCode.NotFound, path)).GetProperty("value").GetString());
    }

    [Fact]
    public async Task Address_that_is_not_there_is_a_problem_too()
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal("GET /api/v1/nothing", (await api.RefusedAsync(HttpStatusCode.NotFound, "/api/v1/nothing")).GetProperty("place").GetString());
        await api.RefusedAsync(HttpStatusCode.MethodNotAllowed, ApiHarness.Post("/api/v1/site", "{}"));
    }
}
