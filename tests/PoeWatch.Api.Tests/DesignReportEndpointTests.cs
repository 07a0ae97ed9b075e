using System.Net;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

public sealed class DesignReportEndpointTests
{
    [Fact]
    public async Task The_design_in_force_comes_as_JSON_with_units_in_the_names()
    {
        await using var api = await ApiHarness.StartAsync();
        var report = await api.GetAsync("/api/v1/design/report");
        Assert.Equal("poewatch-design-report/1", report.GetProperty("format").GetString());
        Assert.Equal(api.Site.Current.Design.Hash, report.GetProperty("designHash").GetString());
        Assert.Equal(api.Site.Current.Design.CableRuns.Count, report.GetProperty("cableRuns").GetArrayLength());
        Assert.True(report.GetProperty("cableRuns")[0].GetProperty("expected").GetProperty("balance").GetProperty("sourceW").GetDouble() > 0.0);
        Assert.StartsWith(Harbour.Now.UtcDateTime.ToString("yyyy-MM-dd", null), report.GetProperty("madeAt").GetString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("report.txt", "text/plain", "DESIGN REPORT")]
    [InlineData("report.html", "text/html", "<!DOCTYPE html>")]
    public async Task It_comes_as_text_and_as_a_page(string form, string media, string start)
    {
        await using var api = await ApiHarness.StartAsync();
        using var answer = await api.Client.GetAsync($"/api/v1/design/{form}", ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal((media, "utf-8"), (answer.Content.Headers.ContentType?.MediaType, answer.Content.Headers.ContentType?.CharSet));
        Assert.StartsWith(start, await answer.Content.ReadAsStringAsync(ApiHarness.Token), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_page_is_let_in_with_its_own_style_sheet_and_nothing_else()
    {
        await using var api = await ApiHarness.StartAsync();
        using var answer = await api.Client.GetAsync("/api/v1/design/report.html", ApiHarness.Token);
        var page = await answer.Content.ReadAsStringAsync(ApiHarness.Token);
        var style = page[(page.IndexOf("<style>", StringComparison.Ordinal) + "<style>".Length)..page.IndexOf("</style>", StringComparison.Ordinal)];
        var hash = Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(style)));
        var policy = Assert.Single(answer.Headers.GetValues("Content-Security-Policy"));
        Assert.StartsWith($"default-src 'none'; style-src 'sha256-{hash}';", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("script", policy, StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_run_is_reported_alone_and_one_that_is_not_there_refused()
    {
        await using var api = await ApiHarness.StartAsync();
        var run = api.Site.Current.Design.CableRuns.Keys.Last();
        var report = await api.GetAsync($"/api/v1/design/report?run={Uri.EscapeDataString(run)}");
        Assert.Equal(run, Assert.Single(report.GetProperty("cableRuns").EnumerateArray()).GetProperty("cableRunId").GetString());
        foreach (var form in new[] { "report", "report.txt", "report.html" })
        {
            Assert.Equal("nowhere", (await api.RefusedAsync(HttpStatusCode.NotFound, $"/api/v1/design/{form}?run=nowhere")).GetProperty("value").GetString());
        }
    }
}
