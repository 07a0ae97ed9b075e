using System.Collections.Immutable;
using System.Net;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests;

public sealed class HistoryEndpointTests
{
    private const string Hour = "from=2026-11-24T20:00:00Z&to=2026-11-24T21:00:00Z";

    private static readonly DateTimeOffset Start = new(2026, 11, 24, 20, 0, 0, TimeSpan.Zero);

    [Fact]
    public async Task A_gap_is_a_gap_and_enters_neither_mean_nor_energy()
    {
        await using var api = await ApiHarness.StartAsync();
        Poll(api, 0, 29, 20);
        api.Stores.Readings.Add(Silent(30));
        Poll(api, 40, 59, 10);

        var series = await api.GetAsync($"/api/v1/ports/quay-west/1/1/history?{Hour}&step=10m");
        var points = series.GetProperty("points").EnumerateArray().ToList();
        Assert.Equal(6, points.Count);
        Assert.Equal(20, points[0].GetProperty("meanW").GetDouble());
        Assert.Equal("measured", points[0].GetProperty("provenance").GetString());
        Assert.Equal(JsonValueKind.Null, points[3].GetProperty("meanW").ValueKind);
        Assert.Equal(JsonValueKind.Null, points[3].GetProperty("energyWh").ValueKind);
        Assert.Equal("unknown", points[3].GetProperty("provenance").GetString());
        Assert.Equal(0, points[3].GetProperty("coveragePercent").GetDouble());

        // 30 min at 20 W and 20 min at 10 W: 10 Wh and 3.333 Wh.
        Assert.Equal(13.333, series.GetProperty("energyWh").GetDouble());
        Assert.Equal(83.333, series.GetProperty("coveragePercent").GetDouble());
        var gap = Assert.Single(series.GetProperty("gaps").EnumerateArray());
        Assert.Equal("2026-11-24T20:30:00.000Z", gap.GetProperty("start").GetString());
        Assert.Equal("2026-11-24T20:40:00.000Z", gap.GetProperty("end").GetString());
        Assert.Equal(600, gap.GetProperty("durationSeconds").GetDouble());
        Assert.Equal("silent", gap.GetProperty("reason").GetString());
    }

    [Fact]
    public async Task A_ceiling_is_never_a_draw_in_history()
    {
        await using var api = await ApiHarness.StartAsync();
        Poll(api, 0, 59, 30, Provenance.ClassBound);
        var series = await api.GetAsync($"/api/v1/poles/quay-01/history?{Hour}&step=1h");
        var point = Assert.Single(series.GetProperty("points").EnumerateArray());
        Assert.Equal(JsonValueKind.Null, point.GetProperty("meanW").ValueKind);
        Assert.Equal(30, point.GetProperty("ceilingW").GetDouble());
        Assert.Equal("class-bound", point.GetProperty("provenance").GetString());
        Assert.Equal(JsonValueKind.Null, series.GetProperty("energyWh").ValueKind);
        Assert.Empty(series.GetProperty("gaps").EnumerateArray());
    }

    [Fact]
    public async Task Unmetered_pole_has_one_gap_that_names_the_run()
    {
        await using var api = await ApiHarness.StartAsync();
        var series = await api.GetAsync($"/api/v1/poles/mole-03/history?{Hour}");
        Assert.Equal("injector-mole", Assert.Single(series.GetProperty("unmeteredRunIds").EnumerateArray()).GetString());
        Assert.Contains("injector-mole", Assert.Single(series.GetProperty("gaps").EnumerateArray()).GetProperty("reason").GetString(), StringComparison.Ordinal);
        Assert.All(series.GetProperty("points").EnumerateArray(), p => Assert.Equal(JsonValueKind.Null, p.GetProperty("meanW").ValueKind));
    }

    [Fact]
    public async Task Too_many_points_names_the_step_that_would_do()
    {
        await using var api = await ApiHarness.StartAsync(new ApiOptions { HistoryPointsMax = 100 });
        var problem = await api.RefusedAsync(HttpStatusCode.UnprocessableEntity, $"/api/v1/poles/quay-01/history?{Hour}&step=10s");
        Assert.Contains("360 points", problem.GetProperty("detail").GetString(), StringComparison.Ordinal);
        Assert.Contains("step=36s", problem.GetProperty("remedy").GetString(), StringComparison.Ordinal);
        await api.GetAsync($"/api/v1/poles/quay-01/history?{Hour}&step=36s");
    }

    [Theory]
    [InlineData("from=2026-11-24T22:00:00Z", "from")]
    [InlineData("from=2026-11-24T20:00:00Z&to=2026-11-24T20:00:00Z", "from")]
    public async Task Rejects_a_period_that_is_empty(string query, string place)
    {
        await using var api = await ApiHarness.StartAsync();
        Assert.Equal(place, (await api.RefusedAsync(HttpStatusCode.BadRequest, $"/api/v1/poles/quay-01/history?{query}")).GetProperty("place").GetString());
    }

    [Theory]
    [InlineData("2026-11-24")]
    [InlineData("2026-11-24T20:00:00")]
    [InlineData("20:00")]
    public async Task Rejects_a_time_without_date_time_and_offset(string from)
    {
        await using var api = await ApiHarness.StartAsync();
        var problem = await api.RefusedAsync(HttpStatusCode.BadRequest, $"/api/v1/poles/quay-01/history?from={from}");
        Assert.Contains(from, problem.GetProperty("detail").GetString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("0s")]
    [InlineData("15")]
    [InlineData("-1m")]
    [InlineData("1w")]
    [InlineData("366d")]
    public async Task Rejects_a_step_without_unit_or_of_nothing(string step)
    {
        await using var api = await ApiHarness.StartAsync();
        var problem = await api.RefusedAsync(HttpStatusCode.BadRequest, $"/api/v1/poles/quay-01/history?step={step}");
        Assert.Contains($"\"{step}\"", problem.GetProperty("detail").GetString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/api/v1/poles/quay-01/history?steps=15m", "steps", "from, to, step")]
    [InlineData("/api/v1/alarms?serverity=major", "serverity", "cleared, severity, resource, limit, cursor")]
    [InlineData("/api/v1/export.csv?poles=quay-01", "poles", "from, to, pole, port")]
    [InlineData("/api/v1/site?at=noon", "at", "Leave it out")]
    public async Task Rejects_a_parameter_that_the_address_does_not_know(string path, string name, string remedy)
    {
        await using var api = await ApiHarness.StartAsync();
        var problem = await api.RefusedAsync(HttpStatusCode.BadRequest, path);
        Assert.Equal(name, problem.GetProperty("place").GetString());
        Assert.Contains(remedy, problem.GetProperty("remedy").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Offset_of_a_time_counts_even_where_its_plus_became_a_space()
    {
        await using var api = await ApiHarness.StartAsync();
        var series = await api.GetAsync("/api/v1/poles/quay-01/history?from=2026-11-24T21:00:00+01:00&to=2026-11-24T21:00:00Z");
        Assert.Equal("2026-11-24T20:00:00.000Z", series.GetProperty("from").GetString());
    }

    [Fact]
    public async Task Period_never_reaches_beyond_now()
    {
        await using var api = await ApiHarness.StartAsync();
        var series = await api.GetAsync("/api/v1/poles/quay-01/history?from=2026-11-24T20:00:00Z&to=2027-01-01T00:00:00Z");
        Assert.Equal("2026-11-24T21:30:00.000Z", series.GetProperty("to").GetString());
    }

    [Theory]
    [InlineData(true, HttpStatusCode.ServiceUnavailable)]
    [InlineData(false, HttpStatusCode.InternalServerError)]
    public async Task Store_that_fails_is_named_and_a_retry_is_only_offered_where_it_can_help(bool isTransient, HttpStatusCode status)
    {
        await using var api = await ApiHarness.StartAsync();
        api.Stores.Failure = new StoreException("disk full", isTransient, new IOException("no space"));
        await api.RefusedAsync(status, $"/api/v1/poles/quay-01/history?{Hour}");
        await api.RefusedAsync(status, $"/api/v1/export.csv?{Hour}");
        using var response = await api.Client.GetAsync($"/api/v1/poles/quay-01/history?{Hour}", ApiHarness.Token);
        Assert.Equal(isTransient, response.Headers.RetryAfter is not null);
    }

    internal static void Poll(ApiHarness api, int firstMinute, int lastMinute, double watts, Provenance provenance = Provenance.Measured)
    {
        for (var minute = firstMinute; minute <= lastMinute; minute++)
        {
            api.Stores.Readings.Add(new SwitchReading(
                "quay-west", api.Stores.Readings.Count + 1, Start.AddMinutes(minute), PollOutcome.Answered, "", TimeSpan.FromDays(3),
                [new PortReading(new PsePortRef("quay-west", 1, 1), PortState.Delivering, Power.FromWatts(watts), provenance, null)], []));
        }
    }

    internal static SwitchReading Silent(int minute, string detail = "no answer after 3 tries") => new(
        "quay-west", 9_000 + minute, Start.AddMinutes(minute), PollOutcome.Silent, detail, null, ImmutableArray<PortReading>.Empty, []);
}
