using System.IO.Compression;
using System.Net;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests;

public sealed class EvidenceEndpointTests
{
    private const string Hour = "from=2026-11-24T20:00:00Z&to=2026-11-24T21:00:00Z";

    [Theory]
    [InlineData("", "site", "")]
    [InlineData("&pole=quay-01", "pole", "quay-01")]
    [InlineData("&pse=quay-west", "switch", "quay-west")]
    [InlineData("&port=quay-west:1/7", "port", "quay-west:1/7")]
    public async Task Evidence_comes_as_a_zip_with_the_scope_that_was_asked_for_and_leaves_nothing_behind(string query, string kind, string id)
    {
        await using var api = await ApiHarness.StartAsync();
        using var response = await api.Client.GetAsync($"/api/v1/evidence.zip?{Hour}{query}", ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        Assert.Equal("application/zip", response.Content.Headers.ContentType?.MediaType);
        await using var zip = await ZipArchive.CreateAsync(
            await response.Content.ReadAsStreamAsync(ApiHarness.Token), ZipArchiveMode.Read, leaveOpen: false, entryNameEncoding: null, ApiHarness.Token);
        Assert.Equal(["designs/a.yaml", "raw.csv"], zip.Entries.Select(e => e.FullName).Order(StringComparer.Ordinal));
        Assert.Equal(
            new EvidenceRequest(Harbour.Now.AddMinutes(-90), Harbour.Now.AddMinutes(-30), new EvidenceScope(kind, id)), api.Evidence.Asked);
        Assert.False(Directory.Exists(api.Evidence.Folder));
    }

    [Fact]
    public async Task Two_scopes_a_refusal_and_an_empty_period_are_told_as_problems()
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(HttpStatusCode.BadRequest, $"/api/v1/evidence.zip?{Hour}&pole=quay-01&port=quay-west:1/7");
        await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/evidence.zip?from=2027-01-01T00:00:00Z");
        api.Evidence.Refusal = "There is no pole 'x' in a design that was in force.";
        var problem = await api.RefusedAsync(HttpStatusCode.NotFound, $"/api/v1/evidence.zip?{Hour}&pole=x");
        Assert.Contains("no pole 'x'", problem.GetProperty("detail").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_report_of_a_month_is_a_page_that_needs_nothing_from_outside()
    {
        await using var api = await ApiHarness.StartAsync();
        using var response = await api.Client.GetAsync("/api/v1/evidence/report.html?month=2026-11", ApiHarness.Token);
        var page = await response.Content.ReadAsStringAsync(ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        Assert.Contains("Skerry &lt;Haven&gt;", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", page, StringComparison.Ordinal);
        Assert.Contains("style-src 'sha256-", response.Headers.GetValues("Content-Security-Policy").Single(), StringComparison.Ordinal);
        await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/evidence/report.html?month=november");
        await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/evidence/report.html?month=2027-01");
    }
}
