using System.Net;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Api.Tests;

public sealed class AgentChangeEndpointTests
{
    [Fact]
    public async Task Changes_of_the_last_seven_days_come_oldest_first_and_can_be_asked_for_by_element()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Stores.AgentChanges.AddRange([
            new AgentChangeNote("quay-west", Harbour.Now.AddDays(-8), AgentChangeKind.Restarted, "too long ago"),
            new AgentChangeNote("quay-west", Harbour.Now.AddDays(-1), AgentChangeKind.Replaced, "Another switch answers."),
            new AgentChangeNote("quay-east", Harbour.Now.AddHours(-1), AgentChangeKind.Renumbered, "Group 2 is group 3 now."),
        ]);

        JsonElement all = await api.GetAsync("/api/v1/agent-changes");
        Assert.Equal(["replaced", "renumbered"], all.GetProperty("items").EnumerateArray().Select(c => c.GetProperty("kind").GetString()));
        JsonElement one = Assert.Single((await api.GetAsync("/api/v1/agent-changes?pse=quay-west")).GetProperty("items").EnumerateArray());
        Assert.Equal(("quay-west", "Another switch answers.", Harbour.Now.AddDays(-1)), (one.GetProperty("pseId").GetString(), one.GetProperty("text").GetString(), one.GetProperty("at").GetDateTimeOffset()));
        var from = Uri.EscapeDataString($"{Harbour.Now.AddDays(-9):O}");
        Assert.Equal(3, (await api.GetAsync($"/api/v1/agent-changes?from={from}")).GetProperty("totalCount").GetInt32());
    }

    [Fact]
    public async Task Empty_period_is_refused()
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/agent-changes?from=2026-11-24T00:00:00Z&to=2026-11-24T00:00:00Z");
    }

    [Fact]
    public async Task Missed_slots_are_told_of_each_switch()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Polls.Missed["quay-west"] = 7;

        JsonElement agents = (await api.GetAsync("/api/v1/switches")).GetProperty("items");
        Assert.Equal(7, agents.EnumerateArray().Single(s => s.GetProperty("id").GetString() == "quay-west").GetProperty("agent").GetProperty("missedSlotCount").GetInt64());
        Assert.Equal(7, (await api.GetAsync("/api/v1/switches/quay-west")).GetProperty("switch").GetProperty("agent").GetProperty("missedSlotCount").GetInt64());
    }
}
