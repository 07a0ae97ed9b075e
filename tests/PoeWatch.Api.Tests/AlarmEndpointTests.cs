using System.Net;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Alarms;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests;

public sealed class AlarmEndpointTests
{
    private const string SlimPort = "port~quay-west:1~2~headroom-low";

    [Fact]
    public async Task Alarms_come_active_first_and_severe_first()
    {
        await using var api = await ApiHarness.StartAsync();
        var items = (await api.GetAsync("/api/v1/alarms")).GetProperty("items").EnumerateArray().ToList();
        Assert.Equal(["critical", "major", "minor", "warning"], items.Select(a => a.GetProperty("severity").GetString()));
        Assert.Equal([false, false, false, true], items.Select(a => a.GetProperty("isCleared").GetBoolean()));
        Assert.Equal([false, false, true, false], items.Select(a => a.GetProperty("isStanding").GetBoolean()));
    }

    [Theory]
    [InlineData("cleared=true", 1)]
    [InlineData("cleared=false", 3)]
    [InlineData("severity=major", 1)]
    [InlineData("severity=major&cleared=true", 0)]
    [InlineData("resource=pole/quay-05", 1)]
    public async Task Alarms_are_filtered(string query, int count)
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal(count, (await api.GetAsync($"/api/v1/alarms?{query}")).GetProperty("items").GetArrayLength());
    }

    [Fact]
    public async Task Rejects_a_severity_that_is_none()
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal("red", (await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/alarms?severity=red")).GetProperty("value").GetString());
    }

    [Theory]
    [InlineData("ack", OperatorState.Ack)]
    [InlineData("closed", OperatorState.Closed)]
    [InlineData("shelved", OperatorState.Shelved)]
    [InlineData("un-shelved", OperatorState.UnShelved)]
    public async Task Operator_state_is_set_in_the_name_of_whoever_calls(string word, OperatorState state)
    {
        await using var api = await ApiHarness.StartAsync();
        using var response = await api.Client.SendAsync(
            ApiHarness.Post($"/api/v1/alarms/{SlimPort}/operator-state", $$"""{"state":"{{word}}","text":"seen, crew goes at dawn"}"""), ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        Assert.Equal(
            (new AlarmKey("port/quay-west:1/2", "headroom-low"), state, "local operator", "seen, crew goes at dawn"), Assert.Single(api.AlarmDesk.Asked));
        var alarm = await api.GetAsync($"/api/v1/alarms/{SlimPort}");
        Assert.Equal(word, alarm.GetProperty("operatorState").GetString());
        Assert.Equal("local operator", alarm.GetProperty("operatorName").GetString());
    }

    [Theory]
    [InlineData(AlarmActionOutcome.NotAllowed, HttpStatusCode.Conflict)]
    [InlineData(AlarmActionOutcome.NoSuchAlarm, HttpStatusCode.NotFound)]
    [InlineData(AlarmActionOutcome.NotKept, HttpStatusCode.ServiceUnavailable)]
    public async Task What_could_not_be_done_is_said(AlarmActionOutcome outcome, HttpStatusCode status)
    {
        await using var api = await ApiHarness.StartAsync();
        api.AlarmDesk.Answer = outcome;
        await api.RefusedAsync(status, ApiHarness.Post($"/api/v1/alarms/{SlimPort}/operator-state", """{"state":"ack"}"""));
    }

    [Theory]
    [InlineData("""{"state":"seen"}""", HttpStatusCode.BadRequest)]
    [InlineData("""{"state":""", HttpStatusCode.BadRequest)]
    [InlineData("""{"state":"ack","text":"\u0007"}""", HttpStatusCode.BadRequest)]
    public async Task Rejects_a_body_that_says_nothing_lawful(string body, HttpStatusCode status)
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(status, ApiHarness.Post($"/api/v1/alarms/{SlimPort}/operator-state", body));
        Assert.Empty(api.AlarmDesk.Asked);
    }

    [Fact]
    public async Task Rejects_an_alarm_that_is_not_there()
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(HttpStatusCode.NotFound, ApiHarness.Post("/api/v1/alarms/pole~quay-99~headroom-low/operator-state", """{"state":"ack"}"""));
    }

    [Fact]
    public async Task Changes_of_a_period_come_in_order_and_in_pages()
    {
        await using var api = await ApiHarness.StartAsync();
        var key = new AlarmKey("pole/quay-05", "headroom-low");
        api.Stores.Changes.AddRange(Enumerable.Range(0, 5).Select(i => new AlarmChange(
            key, Harbour.Now.AddMinutes(-i), i == 4 ? "raised" : "ack", AlarmSeverity.Major, i == 4 ? "" : "nora", $"change {i}")));
        var first = await api.GetAsync("/api/v1/alarm-changes?limit=3");
        Assert.Equal(["change 4", "change 3", "change 2"], first.GetProperty("items").EnumerateArray().Select(c => c.GetProperty("text").GetString()));
        var rest = await api.GetAsync($"/api/v1/alarm-changes?limit=3&cursor={first.GetProperty("nextCursor").GetString()}");
        Assert.Equal(["change 1"], rest.GetProperty("items").EnumerateArray().Select(c => c.GetProperty("text").GetString()));
        await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/alarm-changes?from=2026-11-24T22:00:00Z&to=2026-11-24T21:00:00Z");
    }

    [Theory]
    [InlineData("run/quay-west:1/3", "headroom-low", "run quay-west:1/3", "run-history?run=quay-west%3A1%2F3&", 1, 1)]
    [InlineData("run/quay-west:1/3", "headroom-ends", "run quay-west:1/3", "run-history?run=quay-west%3A1%2F3&", 29, 1)]
    [InlineData("port/quay-west:1/3", "draw-step", "port quay-west:1/3", "ports/quay-west/1/3/history?", 8, 1)]
    [InlineData("group/quay-west:1", "supply-lost", "group quay-west:1", "groups/quay-west/1/history?", 1, 1)]
    [InlineData("switch/quay-west", "switch-silent", "switch quay-west", "switches/quay-west/history?", 1, 1)]
    [InlineData("pole/quay-05", "headroom-low", "pole quay-05", "poles/quay-05/history?", 1, 1)]
    [InlineData("site", "clock-off", "site", "site/history?", 1, 1)]
    [InlineData("ups/nowhere", "ups-on-battery", "site", "site/history?", 1, 1)]
    public async Task Every_alarm_leads_to_a_chart_that_is_there(string resource, string type, string subject, string path, int daysBefore, int daysAfter)
    {
        var raised = Harbour.Now.AddHours(-3);
        var alarm = Harbour.Alarms()[0] with { Key = new AlarmKey(resource, type), RaisedAt = raised };
        await using var api = await ApiHarness.StartAsync(view: Harbour.View(alarms: [alarm]));
        var chart = Assert.Single((await api.GetAsync("/api/v1/alarms")).GetProperty("items").EnumerateArray()).GetProperty("chart");

        Assert.Equal(subject, chart.GetProperty("subject").GetString());
        Assert.Equal(
            $"{path}from={raised.AddDays(-daysBefore):yyyy-MM-dd'T'HH:mm:ss.fff'Z'}&to={raised.AddDays(daysAfter):yyyy-MM-dd'T'HH:mm:ss.fff'Z'}", chart.GetProperty("historyPath").GetString());
        Assert.Equal($"#alarm={Uri.EscapeDataString($"{resource}~{type}".Replace('/', '~'))}", chart.GetProperty("pageFragment").GetString());
        var series = await api.GetAsync($"/api/v1/{chart.GetProperty("historyPath").GetString()}");
        Assert.NotEmpty(series.GetProperty("points").EnumerateArray());
    }
}
