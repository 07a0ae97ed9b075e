using System.Net;
using System.Text.RegularExpressions;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

public sealed partial class DashboardFilesTests
{
    [Fact]
    public async Task Page_is_asked_for_anew_and_its_hashed_files_are_cached_for_a_year()
    {
        await using var api = await ApiHarness.StartAsync();
        using var page = await api.Client.GetAsync("/", ApiHarness.Token);
        Assert.Equal("text/html", page.Content.Headers.ContentType?.MediaType);
        Assert.True(page.Headers.CacheControl?.NoCache);
        var names = Asset().Matches(await page.Content.ReadAsStringAsync(ApiHarness.Token)).Select(m => m.Groups[1].Value).ToList();
        Assert.Contains(names, n => n.EndsWith(".js", StringComparison.Ordinal));
        Assert.Contains(names, n => n.EndsWith(".css", StringComparison.Ordinal));
        foreach (var name in names)
        {
            using var file = await api.Client.GetAsync($"/{name}", ApiHarness.Token);
            Assert.Equal(HttpStatusCode.OK, file.StatusCode);
            Assert.Equal(TimeSpan.FromDays(365), file.Headers.CacheControl?.MaxAge);
            Assert.Equal(name.EndsWith(".js", StringComparison.Ordinal) ? "text/javascript" : "text/css", file.Content.Headers.ContentType?.MediaType);
            Assert.True((await file.Content.ReadAsByteArrayAsync(ApiHarness.Token)).Length > 1_000);
        }
    }

    /// <summary>The content security policy would refuse these, and the page would stand still.</summary>
    [Fact]
    public async Task Page_has_no_inline_script_style_or_handler()
    {
        await using var api = await ApiHarness.StartAsync();
        var page = await api.Client.GetStringAsync("/", ApiHarness.Token);
        Assert.DoesNotMatch(@"<script(?![^>]*\bsrc=)", page);
        Assert.DoesNotMatch(@"<style|\bstyle=|\son[a-z]+=", page);
        Assert.DoesNotMatch(@"https?://", page);
    }

    [Theory]
    [InlineData("/assets/none.js")]
    [InlineData("/assets/..%2findex.html")]
    public async Task Files_that_are_not_there_are_a_problem(string path)
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(HttpStatusCode.NotFound, path);
    }

    [GeneratedRegex("(?:src|href)=\"\\./(assets/[^\"]+)\"")]
    private static partial Regex Asset();
}
