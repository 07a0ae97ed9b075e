using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Conditions;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Api.Tests;

public sealed class ConditionEndpointTests
{
    [Fact]
    public async Task Every_condition_is_shown_with_how_it_is_known()
    {
        await using var api = await ApiHarness.StartAsync();
        var shown = await api.GetAsync("/api/v1/conditions");
        Assert.Equal(
            ConditionNames.All.Select(c => c.Name()), shown.GetProperty("conditions").EnumerateArray().Select(c => c.GetProperty("condition").GetString()));
        // The small harbour states no coordinates: whether it is dark there nobody knows.
        Assert.All(shown.GetProperty("conditions").EnumerateArray(), c => Assert.Equal(
            ("unknown", "unknown"), (c.GetProperty("state").GetString(), c.GetProperty("source").GetProperty("origin").GetString())));
        Assert.Equal(JsonValueKind.Null, shown.GetProperty("air").GetProperty("airCelsius").ValueKind);
    }

    [Fact]
    public async Task What_is_posted_is_shown_with_name_begin_end_and_age()
    {
        await using var api = await ApiHarness.StartAsync();
        var shown = await PutAsync(api, "paging-all", """{"holds": false, "until": "2026-11-25T06:00:00+01:00", "text": "no drill tonight"}""");
        var paging = shown.GetProperty("conditions").EnumerateArray().Single(c => c.GetProperty("condition").GetString() == "paging-all");
        Assert.Equal("does-not-hold", paging.GetProperty("state").GetString());
        var source = paging.GetProperty("source");
        Assert.Equal(
            ("posted", "local operator", "no drill tonight"),
            (source.GetProperty("origin").GetString(), source.GetProperty("who").GetString(), source.GetProperty("text").GetString()));
        Assert.Equal(Harbour.Now, source.GetProperty("since").GetDateTimeOffset());
        Assert.Equal(0, source.GetProperty("ageSeconds").GetDouble());
        Assert.Equal(new DateTimeOffset(2026, 11, 25, 5, 0, 0, TimeSpan.Zero), source.GetProperty("until").GetDateTimeOffset());
    }

    [Fact]
    public async Task The_temperature_is_posted_at_an_address_of_its_own()
    {
        await using var api = await ApiHarness.StartAsync();
        var shown = await PutAsync(api, "temperature", """{"airCelsius": -3.5, "until": "2026-11-25T06:00:00Z"}""");
        Assert.Equal(-3.5, shown.GetProperty("air").GetProperty("airCelsius").GetDouble());
        var cold = shown.GetProperty("conditions").EnumerateArray().Single(c => c.GetProperty("condition").GetString() == "cold");
        Assert.Equal("holds", cold.GetProperty("state").GetString());
    }

    [Fact]
    public async Task What_is_taken_back_is_unknown_again_and_both_stay_in_the_record()
    {
        await using var api = await ApiHarness.StartAsync();
        await PutAsync(api, "wet", """{"holds": true, "until": "2026-11-25T06:00:00Z"}""");
        api.Time.Advance(TimeSpan.FromMinutes(5));
        using var taken = await api.Client.DeleteAsync("/api/v1/conditions/wet", ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, taken.StatusCode);
        var changes = (await api.GetAsync("/api/v1/condition-changes")).GetProperty("items").EnumerateArray().ToList();
        Assert.Equal(["posted", "taken-back"], changes.Select(c => c.GetProperty("kind").GetString()));
        Assert.All(changes, c => Assert.Equal("local operator", c.GetProperty("who").GetString()));
        await api.RefusedAsync(HttpStatusCode.NotFound, new HttpRequestMessage(HttpMethod.Delete, "/api/v1/conditions/wet"));
    }

    [Theory]
    [InlineData("dark", """{"until": "2026-11-25T06:00:00Z"}""", "holds")]
    [InlineData("dark", """{"holds": true}""", "until")]
    [InlineData("dark", """{"holds": true, "until": "2026-11-25T06:00:00"}""", "until")]
    [InlineData("dark", """{"holds": true, "until": "2026-11-24T21:30:00Z"}""", "until")]
    [InlineData("dark", """{"holds": true, "until": "2027-11-26T21:30:00Z"}""", "until")]
    [InlineData("dark", """{"holds": true, "airCelsius": 3, "until": "2026-11-25T06:00:00Z"}""", "airCelsius")]
    [InlineData("dark", """{"holds": true, "until": "2026-11-25T06:00:00Z", "text": "\u0007"}""", "text")]
    [InlineData("temperature", """{"until": "2026-11-25T06:00:00Z"}""", "airCelsius")]
    [InlineData("temperature", """{"airCelsius": 61, "until": "2026-11-25T06:00:00Z"}""", "airCelsius")]
    [InlineData("temperature", """{"airCelsius": 1, "holds": true, "until": "2026-11-25T06:00:00Z"}""", "holds")]
    public async Task Rejects_what_says_nothing_lawful_and_names_the_place(string topic, string body, string place)
    {
        await using var api = await ApiHarness.StartAsync();
        var problem = await api.RefusedAsync(HttpStatusCode.BadRequest, Put(topic, body));
        Assert.Equal(place, problem.GetProperty("place").GetString());
        Assert.Empty(api.Conditions.Words);
    }

    [Fact]
    public async Task Rejects_a_condition_that_is_none_and_names_those_there_are()
    {
        await using var api = await ApiHarness.StartAsync();
        var problem = await api.RefusedAsync(HttpStatusCode.NotFound, Put("fog", """{"holds": true, "until": "2026-11-25T06:00:00Z"}"""));
        Assert.Contains("paging-all", problem.GetProperty("remedy").GetString(), StringComparison.Ordinal);
        await api.RefusedAsync(HttpStatusCode.NotFound, new HttpRequestMessage(HttpMethod.Delete, "/api/v1/conditions/fog"));
    }

    [Fact]
    public async Task What_could_not_be_kept_is_said()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Conditions.Failure = new StoreException("The store is away.", isTransient: true, new IOException());
        await api.RefusedAsync(HttpStatusCode.ServiceUnavailable, Put("dark", """{"holds": true, "until": "2026-11-25T06:00:00Z"}"""));
    }

    [Fact]
    public async Task A_foreign_page_takes_nothing_back()
    {
        await using var api = await ApiHarness.StartAsync();
        await PutAsync(api, "wet", """{"holds": true, "until": "2026-11-25T06:00:00Z"}""");
        var request = new HttpRequestMessage(HttpMethod.Delete, "/api/v1/conditions/wet");
        request.Headers.Add("Origin", "https://evil.example");
        await api.RefusedAsync(HttpStatusCode.Forbidden, request);
        Assert.Single(api.Conditions.Words);
    }

    [Fact]
    public async Task Load_cases_say_whether_they_count_and_why_not()
    {
        await using var api = await ApiHarness.StartAsync(view: Assessed());
        var cases = (await api.GetAsync("/api/v1/conditions")).GetProperty("loadCases").EnumerateArray().ToDictionary(c => c.GetProperty("id").GetString()!);
        Assert.Equal([true, true, true], Flags(cases["winter-night"]));
        Assert.Equal([false, false, false], Flags(cases["summer"]));
        Assert.Equal("It is not the time of the year for it.", cases["summer"].GetProperty("notNow").GetString());
    }

    [Fact]
    public async Task Worst_figures_of_now_today_and_season_stand_at_site_switch_group_port_pole_and_run()
    {
        await using var api = await ApiHarness.StartAsync(view: Assessed());
        var detail = await api.GetAsync("/api/v1/switches/quay-west");
        var pole = await api.GetAsync("/api/v1/poles/quay-01");
        JsonElement[] places =
        [
            await api.GetAsync("/api/v1/site"), await api.GetAsync("/api/v1/conditions"), detail.GetProperty("switch"),
            detail.GetProperty("switch").GetProperty("groups")[0], detail.GetProperty("ports")[0], pole,
        ];
        foreach (var worst in places.Select(p => p.GetProperty("worstDemands")))
        {
            var season = worst.GetProperty("thisSeason");
            Assert.Equal("winter-night", season.GetProperty("loadCaseId").GetString());
            Assert.True(season.GetProperty("designDemandW").GetDouble() >= worst.GetProperty("today").GetProperty("designDemandW").GetDouble());
            Assert.True(worst.GetProperty("today").GetProperty("designDemandW").GetDouble() >= worst.GetProperty("now").GetProperty("designDemandW").GetDouble());
        }

        var today = pole.GetProperty("cableRuns")[0].GetProperty("worstToday");
        Assert.Equal("winter-night", today.GetProperty("loadCaseId").GetString());
        Assert.NotEmpty(today.GetProperty("bindingLimit").GetString()!);
    }

    private static SiteView Assessed()
    {
        var view = Harbour.View();
        var design = new DesignModelBuilder().Switch("quay-west")
            .LoadCase("winter-night", null, 11, 12).LoadCase("summer", null, 6, 7).LoadCase("always")
            .DeviceType("dome-camera", 15, PoeWatch.Domain.Poe.PoeClass.Class4, ("winter-night", 25.0))
            .Pole("quay-01").Port("quay-west:1/1", 30).Device("camera", "dome-camera", "quay-01").Cable("quay-west:1/1", "camera", 85)
            .Build();
        var snapshot = new SnapshotBuilder(Harbour.Now).Build();
        return view with { Design = design, Snapshot = snapshot, Assessment = SiteAssessor.Assess(DesignAnalysis.Of(design), snapshot) };
    }

    private static bool[] Flags(JsonElement loadCase) =>
        [.. new[] { "isInForce", "canComeToday", "canComeThisSeason" }.Select(name => loadCase.GetProperty(name).GetBoolean())];

    private static async Task<JsonElement> PutAsync(ApiHarness api, string topic, string body)
    {
        using var response = await api.Client.SendAsync(Put(topic, body), ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        return await response.Content.ReadFromJsonAsync<JsonElement>(ApiHarness.Token);
    }

    private static HttpRequestMessage Put(string topic, string body)
    {
        var request = ApiHarness.Post($"/api/v1/conditions/{topic}", body);
        request.Method = HttpMethod.Put;
        return request;
    }
}
