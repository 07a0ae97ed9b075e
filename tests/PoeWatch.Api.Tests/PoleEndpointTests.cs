using System.Net;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

public sealed class PoleEndpointTests
{
    [Fact]
    public async Task Headroom_lists_the_least_first_and_poles_without_a_run_last()
    {
        await using var api = await ApiHarness.StartAsync();
        var items = (await api.GetAsync("/api/v1/headroom")).GetProperty("items").EnumerateArray().ToList();
        Assert.Equal(
            ["quay-05", "quay-04", "quay-02", "mole-03", "quay-03", "mole-01", "mole-02", "quay-01", "spare-01"],
            items.Select(p => p.GetProperty("id").GetString()));
        Assert.Equal(-1.8, items[0].GetProperty("headroomW").GetDouble());
        Assert.Equal("pse-port", items[0].GetProperty("bindingLimitKind").GetString());
        Assert.Contains("quay-west:1/5", items[0].GetProperty("bindingLimit").GetString(), StringComparison.Ordinal);
        Assert.Equal(JsonValueKind.Null, items[^1].GetProperty("headroomW").ValueKind);
    }

    [Fact]
    public async Task Every_grade_comes_in_its_own_word()
    {
        await using var api = await ApiHarness.StartAsync();
        var grades = (await api.GetAsync("/api/v1/poles")).GetProperty("items").EnumerateArray().Select(p => p.GetProperty("grade").GetString()).Distinct().Order();
        Assert.Equal(["ample", "bounded", "over", "slim", "spent", "unknown", "unmetered"], grades);
    }

    [Fact]
    public async Task Unmetered_pole_says_at_least_and_gives_no_draw()
    {
        await using var api = await ApiHarness.StartAsync();
        var pole = await api.GetAsync("/api/v1/poles/mole-03");
        Assert.True(pole.GetProperty("pole").GetProperty("hasUnmetered").GetBoolean());
        Assert.True(pole.GetProperty("pole").GetProperty("headroomAtLeast").GetBoolean());
        var run = Assert.Single(pole.GetProperty("cableRuns").EnumerateArray());
        Assert.Equal("unknown", run.GetProperty("draw").GetProperty("provenance").GetString());
        Assert.Equal("injector-mole", run.GetProperty("injectorId").GetString());
        Assert.Equal(JsonValueKind.Null, run.GetProperty("portRef").ValueKind);
        Assert.Equal(["camera-mole-03", "speaker-mole-03"], run.GetProperty("devices").EnumerateArray().Select(d => d.GetProperty("id").GetString()));
        Assert.Equal(3, run.GetProperty("segments").GetArrayLength());
        Assert.All(run.GetProperty("devices").EnumerateArray(), d => Assert.Equal("design", d.GetProperty("provenance").GetString()));
    }

    [Theory]
    [InlineData("poles")]
    [InlineData("headroom")]
    [InlineData("runs")]
    public async Task Pages_together_show_every_item_once(string list)
    {
        await using var api = await ApiHarness.StartAsync();
        var whole = Ids(await api.GetAsync($"/api/v1/{list}"));
        var paged = new List<string?>();
        string? cursor = null;
        var pageCount = 0;
        do
        {
            var page = await api.GetAsync($"/api/v1/{list}?limit=2{(cursor is null ? "" : $"&cursor={cursor}")}");
            Assert.Equal(whole.Count, page.GetProperty("totalCount").GetInt32());
            paged.AddRange(Ids(page));
            cursor = page.GetProperty("nextCursor").GetString();
            pageCount++;
        }
        while (cursor is not null && pageCount < 20);

        Assert.Equal(whole, paged);
        Assert.Equal((whole.Count + 1) / 2, pageCount);
    }

    [Theory]
    [InlineData("limit=0", "limit")]
    [InlineData("limit=501", "limit")]
    [InlineData("cursor=nonsense", "cursor")]
    [InlineData("cursor=cG9sZXMKYQ!", "cursor")]
    public async Task Rejects_limits_and_cursors_that_are_none(string query, string place)
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal(place, (await api.RefusedAsync(HttpStatusCode.BadRequest, $"/api/v1/poles?{query}")).GetProperty("place").GetString());
    }

    [Fact]
    public async Task Rejects_a_cursor_of_another_list()
    {
        await using var api = await ApiHarness.StartAsync();
        var cursor = (await api.GetAsync("/api/v1/poles?limit=2")).GetProperty("nextCursor").GetString();
        await api.RefusedAsync(HttpStatusCode.BadRequest, $"/api/v1/headroom?cursor={cursor}");
    }

    [Fact]
    public async Task Value_that_cannot_be_read_is_shown_in_the_problem()
    {
        await using var api = await ApiHarness.StartAsync();
        var problem = await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/poles?limit=many");
        Assert.Contains("many", problem.GetProperty("detail").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Device_types_name_demand_by_load_case_as_a_design_figure()
    {
        await using var api = await ApiHarness.StartAsync();
        var camera = (await api.GetAsync("/api/v1/device-types")).GetProperty("items")[0];
        Assert.Equal(21.3, camera.GetProperty("designDemandW").GetDouble());
        Assert.Equal(25.0, camera.GetProperty("designDemandByLoadCaseW").GetProperty("winter-night").GetDouble());
        Assert.Equal(25.0, camera.GetProperty("worstDemandW").GetDouble());
        Assert.Equal("design", camera.GetProperty("provenance").GetString());
    }

    private static List<string?> Ids(JsonElement page) => [.. page.GetProperty("items").EnumerateArray().Select(i => i.GetProperty("id").GetString())];
}
