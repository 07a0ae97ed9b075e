using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests;

public sealed class NoticeEndpointTests
{
    private static readonly NoticeLane Desk = new("operator", "desk");

    [Fact]
    public async Task Notices_come_newest_first_by_state_and_in_pages()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Notices.All.AddRange([Notice(1, NoticeState.Sent), Notice(2, NoticeState.Dead), Notice(3, NoticeState.Waiting)]);
        var first = await api.GetAsync("/api/v1/notices?limit=2");
        Assert.Equal(["3", "2"], Ids(first));
        Assert.Equal(["1"], Ids(await api.GetAsync($"/api/v1/notices?limit=2&cursor={first.GetProperty("nextCursor").GetString()}")));
        var dead = (await api.GetAsync("/api/v1/notices?state=dead")).GetProperty("items").EnumerateArray().Single();
        Assert.Equal(
            ("dead", "operator", "desk", "major", "MAJOR raised: port-dark, port/quay-west:1/3 (pole Quay 3)", "refused"),
            (Text(dead, "state"), Text(dead, "role"), Text(dead, "channel"), Text(dead, "severity"), Text(dead, "subject"), Text(dead, "problem")));
        Assert.Equal(JsonValueKind.Null, (await api.GetAsync("/api/v1/notices?state=dead")).GetProperty("nextCursor").ValueKind);
    }

    [Theory]
    [InlineData("state=lost")]
    [InlineData("limit=0")]
    [InlineData("cursor=x")]
    public async Task What_cannot_be_is_refused(string query)
    {
        await using var api = await ApiHarness.StartAsync();
        using var request = new HttpRequestMessage(HttpMethod.Get, $"/api/v1/notices?{query}");
        await api.RefusedAsync(HttpStatusCode.BadRequest, request);
    }

    [Fact]
    public async Task Lanes_tell_what_waits_and_why()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Notices.Lanes = [new LaneView(Desk, 3, 1, null, "no answer", Harbour.Now, Harbour.Now.AddMinutes(5), true)];
        var lane = (await api.GetAsync("/api/v1/notice-lanes")).EnumerateArray().Single();
        Assert.Equal((3, 1, "no answer"), (lane.GetProperty("waitingCount").GetInt32(), lane.GetProperty("deadCount").GetInt32(), Text(lane, "problem")));
        Assert.Equal(Harbour.Now, lane.GetProperty("failingSince").GetDateTimeOffset());
    }

    [Fact]
    public async Task A_trial_goes_to_the_lanes_asked_for_in_the_callers_name()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Notices.Lanes = [new LaneView(Desk, 0, 0, null, "", null, null, true), new LaneView(new NoticeLane("planner", "mail"), 0, 0, null, "", null, null, true)];
        using var answer = await api.Client.PostAsJsonAsync("/api/v1/notices/trial", new { role = "operator" }, ApiHarness.Token);
        var lanes = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(ApiHarness.Token)).RootElement.GetProperty("lanes");
        Assert.Equal(["operator/desk"], lanes.EnumerateArray().Select(l => l.GetString()));
        Assert.Equal([("operator", null, "local operator")], api.Notices.Trials);
        using var nobody = new HttpRequestMessage(HttpMethod.Post, "/api/v1/notices/trial") { Content = JsonContent.Create(new { role = "nobody" }) };
        await api.RefusedAsync(HttpStatusCode.NotFound, nobody);
    }

    [Fact]
    public async Task Only_a_dead_notice_is_revived()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Notices.All.AddRange([Notice(1, NoticeState.Sent), Notice(2, NoticeState.Dead)]);
        using var done = await api.Client.PostAsJsonAsync("/api/v1/notices/2/revive", new { }, ApiHarness.Token);
        Assert.Equal(HttpStatusCode.NoContent, done.StatusCode);
        using var other = new HttpRequestMessage(HttpMethod.Post, "/api/v1/notices/1/revive") { Content = JsonContent.Create(new { }) };
        await api.RefusedAsync(HttpStatusCode.NotFound, other);
        Assert.Equal([2, 1], api.Notices.Revived);
    }

    private static IEnumerable<string> Ids(JsonElement page) => page.GetProperty("items").EnumerateArray().Select(i => i.GetProperty("id").GetString()!);

    private static string? Text(JsonElement element, string name) => element.GetProperty(name).GetString();

    private static Notice Notice(long id, NoticeState state) => new(
        id,
        Desk,
        new NoticeContent("port/quay-west:1/3", AlarmTypes.PortDark, AlarmChangeKinds.Raised, AlarmSeverity.Major, Harbour.Now, Harbour.Now, "pole Quay 3", "quay-03", "Dark.", "Look.", ""),
        Harbour.Now,
        false,
        state,
        1,
        Harbour.Now,
        state == NoticeState.Dead ? "refused" : "");
}
