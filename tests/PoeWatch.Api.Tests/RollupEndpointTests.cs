using System.Net;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Api.Tests;

/// <summary>Long periods, sums, ranks and histograms over the API, from rollups of ten days that a test writes.</summary>
public sealed class RollupEndpointTests
{
    private const int Days = 10;
    private const string Week = "from=2026-11-16T00:00:00Z&to=2026-11-23T00:00:00Z";

    private static readonly DateTimeOffset s_first = new(2026, 11, 14, 0, 0, 0, TimeSpan.Zero);

    [Fact]
    public async Task A_long_period_is_answered_from_rollups_and_says_so()
    {
        await using var api = await StartAsync();
        var series = await api.GetAsync($"/api/v1/ports/quay-west/1/2/history?{Week}");
        Assert.Equal(("hour", 168), (series.GetProperty("resolution").GetString(), series.GetProperty("points").GetArrayLength()));
        var point = series.GetProperty("points")[0];
        Assert.Equal((20.0, 20.0, 100.0), (Number(point, "meanW"), Number(point, "percentile95W"), Number(point, "coveragePercent")));
        Assert.Equal(20.0 * 168, Number(series, "energyWh"));
    }

    [Theory]
    [InlineData("15m", "quarter-hour", 672)]
    [InlineData("1h", "hour", 168)]
    [InlineData("6h", "hour", 28)]
    [InlineData("1d", "day", 7)]
    [InlineData("7d", "day", 1)]
    public async Task The_step_decides_what_it_is_made_of(string step, string resolution, int points)
    {
        await using var api = await StartAsync();
        var series = await api.GetAsync($"/api/v1/poles/quay-02/history?{Week}&step={step}");
        Assert.Equal((resolution, points), (series.GetProperty("resolution").GetString(), series.GetProperty("points").GetArrayLength()));
        Assert.Equal(33.0 * 168, Number(series, "energyWh"));
    }

    [Fact]
    public async Task A_gap_stays_a_gap_and_its_estimate_stands_apart()
    {
        // The third day is not there for two hours in the middle of port 3, and the fifth for the whole day.
        await using var api = await StartAsync();
        var series = await api.GetAsync($"/api/v1/ports/quay-west/1/3/history?{Week}&step=1h");
        var points = series.GetProperty("points").EnumerateArray().ToList();
        Assert.Equal([JsonValueKind.Null, JsonValueKind.Null], points.Skip(12).Take(2).Select(p => p.GetProperty("meanW").ValueKind));
        Assert.Equal([30.0, 30.0], points.Skip(12).Take(2).Select(p => Number(p, "estimateWh")));
        Assert.All(points.Skip(48).Take(24), p => Assert.Equal(JsonValueKind.Null, p.GetProperty("estimateWh").ValueKind));
        Assert.Equal((30.0 * (168 - 26), 60.0), (Number(series, "energyWh"), Number(series, "estimateWh")));
        Assert.Equal(
            ["2026-11-16T12:00:00.000Z", "2026-11-18T00:00:00.000Z"], series.GetProperty("gaps").EnumerateArray().Select(g => g.GetProperty("start").GetString()));
    }

    [Theory]
    [InlineData("/api/v1/site/history", 66)]
    [InlineData("/api/v1/switches/quay-west/history", 55)]
    [InlineData("/api/v1/run-history?run=quay-west:1/1", 10)]
    public async Task Site_switches_and_runs_have_a_history_too(string address, double watts)
    {
        await using var api = await StartAsync();
        var series = await api.GetAsync($"{address}{(address.Contains('?') ? '&' : '?')}{Week}&step=1d");
        Assert.All(series.GetProperty("points").EnumerateArray(), p => Assert.Equal(watts, Number(p, "meanW")));
    }

    [Fact]
    public async Task The_site_by_less_than_quarter_hours_is_refused_with_a_remedy()
    {
        await using var api = await StartAsync();
        var problem = await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/site/history?step=5m");
        Assert.Contains("15m", problem.GetProperty("remedy").GetString(), StringComparison.Ordinal);
        await api.GetAsync("/api/v1/site/history");
    }

    [Theory]
    [InlineData("", "quay-west:1/4 quay-west:1/3")] // 35 W for a moment
    [InlineData("&by=mean", "quay-west:1/3 quay-west:1/2")]
    [InlineData("&by=energy", "quay-west:1/3 quay-west:1/2")]
    public async Task Ports_are_ranked_by_what_is_asked(string by, string expected)
    {
        await using var api = await StartAsync();
        var top = await api.GetAsync($"/api/v1/top-draws?{Week}&limit=2{by}");
        Assert.Equal(expected, string.Join(' ', top.GetProperty("ports").EnumerateArray().Select(p => p.GetProperty("portRef").GetString())));
        Assert.Equal("2026-11-16T00:00:00.000Z", top.GetProperty("from").GetString());
    }

    [Fact]
    public async Task The_default_rank_is_of_the_last_days_that_are_over()
    {
        await using var api = await StartAsync();
        var top = await api.GetAsync("/api/v1/top-draws");
        Assert.Equal(
            ("2026-11-17T00:00:00.000Z", "2026-11-24T00:00:00.000Z"), (top.GetProperty("from").GetString(), top.GetProperty("to").GetString()));
        await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/top-draws?by=colour");
        await api.RefusedAsync(HttpStatusCode.BadRequest, "/api/v1/top-draws?limit=0");
    }

    [Fact]
    public async Task A_histogram_tells_how_long_a_port_drew_how_much()
    {
        await using var api = await StartAsync();
        var histogram = await api.GetAsync($"/api/v1/ports/quay-west/1/3/histogram?{Week}");
        var bin = Assert.Single(histogram.GetProperty("bins").EnumerateArray());
        Assert.Equal((30.0, 30.5, 142 * 3600.0, 100.0), (Number(bin, "fromW"), Number(bin, "toW"), Number(bin, "durationSeconds"), Number(bin, "sharePercent")));
        Assert.Equal(142 * 3600.0, Number(histogram, "knownSeconds"));
        await api.RefusedAsync(HttpStatusCode.NotFound, "/api/v1/ports/quay-west/1/99/histogram");
    }

    private static double Number(JsonElement element, string name) => element.GetProperty(name).GetDouble();

    private static async Task<ApiHarness> StartAsync()
    {
        var api = await ApiHarness.StartAsync();
        var store = api.Rollups;
        for (var day = 0; day < Days; day++)
        {
            var start = s_first.AddDays(day);
            foreach (var step in new[] { RollupStep.QuarterHour, RollupStep.Hour, RollupStep.Day })
            {
                await store.SaveRollupsAsync(
                    [
                        Block(new RollupSubject(RollupKind.Ports, "quay-west"), step, start, [.. Enumerable.Range(1, 4).Select(p => Line(p, step, start, day))]),
                        Sum(new RollupSubject(RollupKind.Pole, "quay-02"), step, start, 33),
                        Sum(new RollupSubject(RollupKind.Switch, "quay-west"), step, start, 55),
                        Sum(RollupSubject.Site, step, start, 66),
                    ],
                    ApiHarness.Token);
            }
        }

        await store.SaveRollupFrontierAsync(new RollupFrontier(s_first.AddDays(Days).AddHours(20), s_first.AddDays(Days)), ApiHarness.Token);
        return api;
    }

    private static RollupBlock Block(RollupSubject subject, RollupStep step, DateTimeOffset start, params RollupLine[] lines) =>
        RollupCodec.Encode(subject, step, start, start.AddDays(1), lines);

    private static RollupBlock Sum(RollupSubject subject, RollupStep step, DateTimeOffset start, double watts) =>
        Block(subject, step, start, Line(0, 0, step, start, [(start, start.AddDays(1), watts)]));

    // Ports 1 to 3 draw 10, 20 and 30 W; port 4 draws 1 W and once a day 35 W for a minute.
    private static RollupLine Line(int port, RollupStep step, DateTimeOffset start, int day) => Line(1, port, step, start, (port, day) switch
    {
        (3, 2) => [(start, start.AddHours(12), 30.0), (start.AddHours(14), start.AddDays(1), 30)],
        (3, 4) => [],
        (4, _) => [(start, start.AddHours(5), 1), (start.AddHours(5), start.AddHours(5).AddMinutes(1), 35), (start.AddHours(5).AddMinutes(1), start.AddDays(1), 1)],
        _ => [(start, start.AddDays(1), 10.0 * port)],
    });

    private static RollupLine Line(int group, int port, RollupStep step, DateTimeOffset start, (DateTimeOffset From, DateTimeOffset To, double Watts)[] stretches)
    {
        var cutter = new RollupCutter(step.Bounds(start, start.AddDays(1)));
        var histogram = new DrawHistogram();
        foreach (var (from, to, watts) in stretches)
        {
            cutter.Add(from, to, new KnownPower(Power.FromWatts(watts), Provenance.Measured));
            histogram.Add(DrawHistogram.BinOf((long)(watts * 1000)), to - from);
        }

        return new RollupLine(group, port, cutter.Finish(), step == RollupStep.Day ? histogram : null);
    }
}
