using System.Net;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests;

public sealed class DesignEndpointTests
{
    private static readonly DesignProblem Fault = new(
        ProblemKind.Error, "port-limit-too-small", new WrittenAt("skerry.yaml", 41, 7), "quay-west:1/4", "30 W", "The run asks for 34.1 W.", "Plan an injector.");

    [Fact]
    public async Task Design_is_applied_in_the_name_of_the_caller()
    {
        await using var api = await ApiHarness.StartAsync();
        using var response = await api.Client.SendAsync(ApiHarness.Post("/api/v1/design", "site: Skerry Haven\n", "application/yaml"), ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        Assert.Equal(("site: Skerry Haven\n", "local operator"), Assert.Single(api.DesignDesk.Applied));
    }

    [Fact]
    public async Task Refused_design_lists_every_problem_with_line_and_column()
    {
        await using var api = await ApiHarness.StartAsync();
        api.DesignDesk.Answer = new DesignApplyResult(false, "x", [Fault, Fault with { Kind = ProblemKind.Warning }]);
        foreach (var request in new[] { ApiHarness.Post("/api/v1/design", "site:", "application/yaml"), ApiHarness.Post("/api/v1/design/reload", "{}") })
        {
            var problem = await api.RefusedAsync(HttpStatusCode.UnprocessableEntity, request);
            Assert.Equal("skerry.yaml:41:7", problem.GetProperty("place").GetString());
            Assert.Equal("30 W", problem.GetProperty("value").GetString());
            Assert.Equal(2, problem.GetProperty("problems").GetArrayLength());
            var first = problem.GetProperty("problems")[0];
            Assert.Equal(
                ("error", 41, 7, "Plan an injector."),
                (first.GetProperty("kind").GetString(), first.GetProperty("line").GetInt32(), first.GetProperty("column").GetInt32(), first.GetProperty("remedy").GetString()));
        }
    }

    [Fact]
    public async Task Rejects_a_design_that_is_empty_or_too_large_or_not_yaml()
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(HttpStatusCode.BadRequest, ApiHarness.Post("/api/v1/design", " \n", "application/yaml"));
        await api.RefusedAsync(
            HttpStatusCode.RequestEntityTooLarge, ApiHarness.Post("/api/v1/design", new string('x', (4 * 1024 * 1024) + 1), "application/yaml"));
        await api.RefusedAsync(HttpStatusCode.UnsupportedMediaType, ApiHarness.Post("/api/v1/design", "site:", "text/plain"));
        Assert.Empty(api.DesignDesk.Applied);
    }

    [Fact]
    public async Task Versions_show_from_when_until_when_and_by_whom()
    {
        await using var api = await ApiHarness.StartAsync();
        api.Stores.Designs.Add(new DesignVersion("aa", "site: A", Harbour.Now.AddDays(-9), "start"));
        api.Stores.Designs.Add(new DesignVersion("bb", "site: B", Harbour.Now.AddDays(-1), "nora"));
        var items = (await api.GetAsync("/api/v1/design/versions")).GetProperty("items");
        Assert.Equal("2026-11-23T21:30:00.000Z", items[0].GetProperty("inForceUntil").GetString());
        Assert.Equal("nora", items[1].GetProperty("appliedBy").GetString());
        Assert.Equal("site: A", (await api.GetAsync("/api/v1/design/versions/aa")).GetProperty("text").GetString());
        await api.RefusedAsync(HttpStatusCode.NotFound, "/api/v1/design/versions/cc");
    }

    [Fact]
    public async Task Design_in_force_is_counted()
    {
        await using var api = await ApiHarness.StartAsync();
        var design = await api.GetAsync("/api/v1/design");
        Assert.Equal((9, 8, 1), (design.GetProperty("poleCount").GetInt32(), design.GetProperty("cableRunCount").GetInt32(), design.GetProperty("switchCount").GetInt32()));
    }
}
