using System.Net;
using System.Text;
using PoeWatch.Api.Export;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Api.Tests;

public sealed class CsvExportTests
{
    private const string Hour = "from=2026-11-24T20:00:00Z&to=2026-11-24T21:00:00Z";

    /// <summary>RFC 4180 (October 2005), section 2: rules 1 (CRLF), 4 (commas), 5 and 6 (quotes around comma, quote and line break), 7 (doubled quotes).</summary>
    [Theory]
    [InlineData(new[] { "aaa", "bbb", "ccc" }, "aaa,bbb,ccc\r\n")]
    [InlineData(new[] { "aaa", "b\r\nbb", "ccc" }, "aaa,\"b\r\nbb\",ccc\r\n")]
    [InlineData(new[] { "aaa", "b\"bb", "ccc" }, "aaa,\"b\"\"bb\",ccc\r\n")]
    [InlineData(new[] { "a,b", "", "c" }, "\"a,b\",,c\r\n")]
    public void Records_are_written_as_the_standard_shows_them(string[] fields, string expected) => Assert.Equal(expected, Record(fields));

    /// <summary>The characters that start a formula: OWASP, "CSV Injection" (from memory).</summary>
    [Theory]
    [InlineData("=1+2", "'=1+2")]
    [InlineData("+491", "'+491")]
    [InlineData("-2", "'-2")]
    [InlineData("@SUM(A1)", "'@SUM(A1)")]
    [InlineData("\t=1", "'\t=1")]
    [InlineData("'=1", "''=1")]
    [InlineData("quay=1", "quay=1")]
    public void Text_that_starts_like_a_formula_gets_an_apostrophe(string field, string expected) => Assert.Equal($"{expected}\r\n", Record(field));

    [Fact]
    public async Task Export_has_readings_unanswered_polls_gaps_and_an_end_with_counts()
    {
        await using var api = await ApiHarness.StartAsync();
        HistoryEndpointTests.Poll(api, 0, 29, 20.5);
        api.Stores.Readings.Add(HistoryEndpointTests.Silent(30, "no answer, \"quay-west\" after 3 tries"));
        HistoryEndpointTests.Poll(api, 40, 59, 30, Provenance.ClassBound);

        var records = await RecordsAsync(api, $"/api/v1/export.csv?{Hour}&port=quay-west:1/1");
        Assert.Equal(HistoryCsv.Columns, records[0]);
        Assert.All(records, r => Assert.Equal(HistoryCsv.Columns.Length, r.Count));
        var readings = records.Where(r => r[0] == "reading").ToList();
        Assert.Equal(50, readings.Count);
        Assert.Equal(
            ["reading", "2026-11-24T20:00:00.000Z", "", "quay-west", "1", "1", "quay-west:1/1", "quay-west:1/1", "quay-01", "delivering", "20500", "", "measured", "draw", "answered", ""],
            readings[0]);
        Assert.Equal(["", "30000", "class-bound", "ceiling"], readings[^1][10..14]);
        Assert.Equal("no answer, \"quay-west\" after 3 tries", Assert.Single(records, r => r[0] == "no-answer")[15]);
        var gap = Assert.Single(records, r => r[0] == "gap");
        Assert.Equal(["2026-11-24T20:30:00.000Z", "2026-11-24T20:40:00.000Z"], gap[1..3]);
        Assert.Equal(["", "", "unknown", "none"], gap[10..14]);
        Assert.Equal("silent", gap[15]);
        Assert.Equal("50 readings, 1 polls without answer, 1 gaps", records[^1][15]);
        Assert.Equal("end", records[^1][0]);
    }

    [Fact]
    public async Task Whole_site_without_a_reading_is_gaps_of_every_run()
    {
        await using var api = await ApiHarness.StartAsync();
        var records = await RecordsAsync(api, $"/api/v1/export.csv?{Hour}");
        Assert.Equal(Harbour.Masts.Select(m => m.PortRef).Append("injector-mole").Order(), records.Where(r => r[0] == "gap").Select(r => r[7]).Order());
        Assert.Equal("mole-03", Assert.Single(records, r => r[15] == "unmetered")[8]);
    }

    [Fact]
    public async Task Export_says_what_it_is_and_how_it_is_called()
    {
        await using var api = await ApiHarness.StartAsync();
        using var response = await api.Client.GetAsync($"/api/v1/export.csv?{Hour}&pole=quay-01", ApiHarness.Token);
        Assert.Equal("text/csv; charset=utf-8; header=present", response.Content.Headers.ContentType?.ToString());
        Assert.Equal("poewatch-quay-01-20261124T200000Z-20261124T210000Z.csv", response.Content.Headers.ContentDisposition?.FileName?.Trim('"'));
    }

    [Theory]
    [InlineData("pole=quay-01&port=quay-west:1/1", HttpStatusCode.BadRequest)]
    [InlineData("port=quay-west", HttpStatusCode.BadRequest)]
    [InlineData("pole=quay-99", HttpStatusCode.NotFound)]
    public async Task Rejects_a_scope_that_is_none(string scope, HttpStatusCode status)
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(status, $"/api/v1/export.csv?{Hour}&{scope}");
    }

    [Fact]
    public async Task Rejects_a_period_longer_than_the_bound()
    {
        await using var api = await ApiHarness.StartAsync(new ApiOptions { ExportPeriodMax = TimeSpan.FromDays(1) });
        var problem = await api.RefusedAsync(HttpStatusCode.UnprocessableEntity, "/api/v1/export.csv?from=2026-11-20T00:00:00Z");
        Assert.Contains("1 days", problem.GetProperty("remedy").GetString(), StringComparison.Ordinal);
    }

    private static string Record(params string[] fields)
    {
        var text = new StringBuilder();
        CsvText.AppendRecord(text, fields);
        return text.ToString();
    }

    private static async Task<List<List<string>>> RecordsAsync(ApiHarness api, string path)
    {
        var text = await api.Client.GetStringAsync(path, ApiHarness.Token);
        Assert.EndsWith("\r\n", text, StringComparison.Ordinal);
        return CsvReading.Parse(text);
    }
}
