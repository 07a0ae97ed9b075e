using System.Net;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Api.Tests;

/// <summary>Shelving with an end, accepted deviations, notes, maintenance windows, types and own measures.</summary>
public sealed class AlarmLifeEndpointTests
{
    private const string Slim = "/api/v1/alarms/port~quay-west:1~2~headroom-low";
    private static readonly AlarmKey SlimKey = new("port/quay-west:1/2", "headroom-low");

    [Fact]
    public async Task A_shelf_has_the_end_that_was_given()
    {
        await using var api = await ApiHarness.StartAsync();
        var until = Harbour.Now.AddHours(2);
        var alarm = await PostAsync(api, Slim + "/operator-state", $$"""{"state":"shelved","text":"crew is there","until":"{{until:O}}"}""");
        Assert.Equal(until, Assert.Single(api.AlarmDesk.Shelves)!.Until);
        Assert.Equal(until, alarm.GetProperty("shelvedUntil").GetDateTimeOffset());
        Assert.Equal(("shelved", false), (alarm.GetProperty("quietBecause").GetString(), alarm.GetProperty("isAccepted").GetBoolean()));
    }

    [Theory]
    [InlineData("shelved", -1)]
    [InlineData("shelved", 31 * 24)]
    [InlineData("ack", 1)]
    public async Task Rejects_an_end_that_is_past_too_far_or_of_no_shelf(string state, int hours)
    {
        await using var api = await ApiHarness.StartAsync();
        var body = $$"""{"state":"{{state}}","until":"{{Harbour.Now.AddHours(hours):O}}"}""";
        var problem = await api.RefusedAsync(HttpStatusCode.BadRequest, ApiHarness.Post(Slim + "/operator-state", body));
        Assert.Equal("until", problem.GetProperty("place").GetString());
        Assert.Empty(api.AlarmDesk.Asked);
    }

    [Fact]
    public async Task A_deviation_is_accepted_until_a_date_up_to_the_severity_that_it_has()
    {
        await using var api = await ApiHarness.StartAsync();
        var until = Harbour.Now.AddDays(90);
        var alarm = await PostAsync(api, Slim + "/acceptance", $$"""{"until":"{{until:O}}","reason":"second feed comes in spring"}""");
        var severity = Enum.Parse<AlarmSeverity>(alarm.GetProperty("severity").GetString()!, ignoreCase: true);
        Assert.Equal(new AlarmShelf(until, severity), Assert.Single(api.AlarmDesk.Shelves));
        Assert.Equal((SlimKey, OperatorState.Shelved, "local operator", "second feed comes in spring"), Assert.Single(api.AlarmDesk.Asked));
        Assert.True(alarm.GetProperty("isAccepted").GetBoolean());
    }

    [Theory]
    [InlineData("""{"until":"2099-01-01T00:00:00Z","reason":"far"}""", "until")]
    [InlineData("""{"reason":"no date"}""", "until")]
    [InlineData("""{"until":"2026-12-24T00:00:00Z","reason":"  "}""", "reason")]
    public async Task Rejects_an_acceptance_without_a_near_date_or_a_reason(string body, string place)
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal(place, (await api.RefusedAsync(HttpStatusCode.BadRequest, ApiHarness.Post(Slim + "/acceptance", body))).GetProperty("place").GetString());
    }

    [Fact]
    public async Task A_note_is_taken_in_the_name_of_whoever_calls()
    {
        await using var api = await ApiHarness.StartAsync();
        await PostAsync(api, Slim + "/notes", """{"text":"gland is cracked"}""");
        Assert.Equal((SlimKey, "local operator", "gland is cracked"), Assert.Single(api.AlarmDesk.Notes));
        await api.RefusedAsync(HttpStatusCode.NotFound, ApiHarness.Post("/api/v1/alarms/no~such/notes", """{"text":"x"}"""));
        await api.RefusedAsync(HttpStatusCode.BadRequest, ApiHarness.Post(Slim + "/notes", """{"text":""}"""));
    }

    [Fact]
    public async Task Work_is_announced_shown_and_ended()
    {
        await using var api = await ApiHarness.StartAsync();
        var to = Harbour.Now.AddHours(3);
        var window = await PostAsync(api, "/api/v1/maintenance", $$"""{"scope":"switch/quay-west","to":"{{to:O}}","reason":"new supply"}""");
        Assert.Equal(("in-force", "local operator"), (window.GetProperty("state").GetString(), window.GetProperty("who").GetString()));
        Assert.Equal(to, Assert.Single((await api.GetAsync("/api/v1/maintenance")).EnumerateArray()).GetProperty("to").GetDateTimeOffset());

        var id = window.GetProperty("id").GetString();
        using var ended = await api.Client.DeleteAsync($"/api/v1/maintenance/{id}", ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, ended.StatusCode);
        Assert.Equal("ended", Assert.Single((await api.GetAsync("/api/v1/maintenance")).EnumerateArray()).GetProperty("state").GetString());
        await api.RefusedAsync(HttpStatusCode.NotFound, new HttpRequestMessage(HttpMethod.Delete, $"/api/v1/maintenance/{id}"));
    }

    [Theory]
    [InlineData("pole/nowhere", 3, "work", HttpStatusCode.NotFound, "scope")]
    [InlineData("site", 15 * 24, "work", HttpStatusCode.BadRequest, "to")]
    [InlineData("site", -1, "work", HttpStatusCode.BadRequest, "to")]
    [InlineData("site", 3, "", HttpStatusCode.BadRequest, "reason")]
    public async Task Rejects_work_at_no_place_without_an_end_or_without_a_reason(string scope, int hours, string reason, HttpStatusCode status, string place)
    {
        await using var api = await ApiHarness.StartAsync();
        var body = $$"""{"scope":"{{scope}}","to":"{{Harbour.Now.AddHours(hours):O}}","reason":"{{reason}}"}""";
        Assert.Equal(place, (await api.RefusedAsync(status, ApiHarness.Post("/api/v1/maintenance", body))).GetProperty("place").GetString());
    }

    [Fact]
    public async Task Every_alarm_type_is_listed_with_causes_and_delays()
    {
        await using var api = await ApiHarness.StartAsync();
        var types = (await api.GetAsync("/api/v1/alarm-types")).EnumerateArray().ToList();
        Assert.Equal(AlarmTypeTable.All.Select(t => t.Name), types.Select(t => t.GetProperty("name").GetString()));
        var fault = types.Single(t => t.GetProperty("name").GetString() == "port-fault");
        Assert.Equal((10.0, 60.0), (fault.GetProperty("onDelaySeconds").GetDouble(), fault.GetProperty("offDelaySeconds").GetDouble()));
        Assert.NotEmpty(fault.GetProperty("likelyCauses").EnumerateArray());
    }

    [Fact]
    public async Task The_service_s_own_measures_come_with_target_and_source()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Stores.Changes.AddRange(Enumerable.Range(0, 12).Select(i =>
            new AlarmChange(new AlarmKey($"port/a:1/{i}", "port-dark"), Harbour.Now.AddHours(-1).AddSeconds(i), AlarmChangeKinds.Raised, AlarmSeverity.Minor, "", "")));
        var figures = await api.GetAsync("/api/v1/alarm-figures?operators=2");
        Assert.Equal(12, figures.GetProperty("raisedCount").GetInt32());
        Assert.Equal(12, Assert.Single(figures.GetProperty("floods").EnumerateArray()).GetProperty("alarmCount").GetInt32());
        var measures = figures.GetProperty("measures").EnumerateArray().ToDictionary(m => m.GetProperty("measure").GetString()!);
        Assert.Equal((12.0, false), (measures["peak in 10 minutes"].GetProperty("value").GetDouble(), measures["peak in 10 minutes"].GetProperty("isMet").GetBoolean()));
        Assert.Equal((0.2, true), (measures["per operator and day"].GetProperty("value").GetDouble(), measures["per operator and day"].GetProperty("isMet").GetBoolean()));
        Assert.All(measures.Values, m => Assert.NotEmpty(m.GetProperty("source").GetString()!));
    }

    [Theory]
    [InlineData("operators=0")]
    [InlineData("from=2020-01-01T00:00:00Z")]
    public async Task Rejects_measures_of_nobody_or_of_many_years(string query)
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(HttpStatusCode.BadRequest, $"/api/v1/alarm-figures?{query}");
    }

    private static async Task<JsonElement> PostAsync(ApiHarness api, string address, string body)
    {
        using var response = await api.Client.SendAsync(ApiHarness.Post(address, body), ApiHarness.Token);
        var text = await response.Content.ReadAsStringAsync(ApiHarness.Token);
        Assert.True(response.StatusCode == HttpStatusCode.OK, $"{address}: {(int)response.StatusCode} {text}");
        return JsonDocument.Parse(text).RootElement;
    }
}
