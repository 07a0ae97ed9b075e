using System.Net;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests;

public sealed class HealthEndpointTests
{
    [Theory]
    [InlineData("good", HttpStatusCode.OK)]
    [InlineData("degraded", HttpStatusCode.OK)]
    [InlineData("bad", HttpStatusCode.ServiceUnavailable)]
    public async Task Status_code_tells_machines_whether_the_service_does_its_work(string status, HttpStatusCode code)
    {
        await using var api = await ApiHarness.StartAsync();
        api.Health.Current = api.Health.Current with { Parts = [new PartHealth("polling", "good", ""), new PartHealth("history", status, "disk full: free some space")] };
        foreach (var path in new[] { "/api/v1/health", "/api/v1/health/ready" })
        {
            using var response = await api.Client.GetAsync(path, ApiHarness.Token);
            Assert.Equal(code, response.StatusCode);
            Assert.Contains($"\"status\":\"{status}\"", await response.Content.ReadAsStringAsync(ApiHarness.Token), StringComparison.Ordinal);
        }

        Assert.Equal("live", (await api.GetAsync("/api/v1/health/live")).GetProperty("status").GetString());
    }

    [Fact]
    public async Task Ready_tells_strangers_no_more_than_one_word()
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal(["status"], (await api.GetAsync("/api/v1/health/ready")).EnumerateObject().Select(p => p.Name));
    }
}
