using System.Net;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

public sealed class PlacementEndpointTests
{
    [Fact]
    public async Task Poles_come_by_the_extra_watts_they_can_take_with_the_limit_that_binds()
    {
        await using var api = await ApiHarness.StartAsync();
        var items = (await api.GetAsync("/api/v1/placement")).GetProperty("items").EnumerateArray().ToList();
        Assert.Equal(9, items.Count);
        var extra = items.Where(p => p.GetProperty("extraW").ValueKind == JsonValueKind.Number).Select(p => p.GetProperty("extraW").GetDouble()).ToList();
        Assert.Equal(8, extra.Count);
        Assert.Equal(extra.OrderDescending(), extra);
        Assert.Equal("spare-01", items[^1].GetProperty("poleId").GetString());
        Assert.Equal("extender-mole", UnmeteredRun(items).GetProperty("atElement").GetString());
        Assert.All(items, p => Assert.Equal("design", p.GetProperty("provenance").GetString()));
        Assert.All(
            items.SelectMany(p => p.GetProperty("cableRuns").EnumerateArray()),
            r => Assert.False(string.IsNullOrWhiteSpace(r.GetProperty("bindingLimit").GetProperty("sentence").GetString())));
    }

    [Fact]
    public async Task A_live_excess_leaves_less()
    {
        await using var api = await ApiHarness.StartAsync();
        var quiet = (await Pole(api, "quay-01")).GetProperty("extraW").GetDouble();
        var drawingTooMuch = (await Pole(api, "quay-04")).GetProperty("extraW").GetDouble();
        Assert.True(drawingTooMuch < quiet, $"{drawingTooMuch} W is not less than {quiet} W");
    }

    [Fact]
    public async Task A_type_is_held_against_every_run_and_what_it_needs_is_said()
    {
        await using var api = await ApiHarness.StartAsync();
        var full = await Pole(api, "quay-01", "&type=dome-camera");
        Assert.False(full.GetProperty("fits").GetBoolean());
        var fit = Assert.Single(full.GetProperty("cableRuns").EnumerateArray()).GetProperty("fit");
        Assert.Equal(("dome-camera", 0), (fit.GetProperty("typeId").GetString(), fit.GetProperty("freeOutputCount").GetInt32()));
        Assert.NotEqual("", fit.GetProperty("needs").GetString());
        Assert.Equal(JsonValueKind.Null, (await Pole(api, "quay-01")).GetProperty("fits").ValueKind);
    }

    [Theory]
    [InlineData("type=kettle", "kettle")]
    [InlineData("pole=quay-99", "quay-99")]
    public async Task Rejects_types_and_poles_that_are_not_there(string query, string value)
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal(value, (await api.RefusedAsync(HttpStatusCode.NotFound, $"/api/v1/placement?{query}")).GetProperty("value").GetString());
    }

    private static JsonElement UnmeteredRun(List<JsonElement> items) =>
        items.SelectMany(p => p.GetProperty("cableRuns").EnumerateArray()).Single(r => r.GetProperty("isUnmetered").GetBoolean());

    private static async Task<JsonElement> Pole(ApiHarness api, string id, string more = "") =>
        Assert.Single((await api.GetAsync($"/api/v1/placement?pole={id}{more}")).GetProperty("items").EnumerateArray());
}
