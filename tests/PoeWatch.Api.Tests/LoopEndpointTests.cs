using System.Collections.Immutable;
using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests;

/// <summary>Segments that are metered at both ends: a resistance with its interval, or why there is none.</summary>
public sealed class LoopEndpointTests
{
    [Fact]
    public async Task A_loop_comes_with_its_interval_and_one_that_is_not_known_with_why()
    {
        await using var api = await ApiHarness.StartAsync(view: View());
        var items = (await api.GetAsync("/api/v1/loops")).GetProperty("items").EnumerateArray().ToList();

        Assert.Equal((5.5, 5.2, 5.8, ""), (Number(items[0], "loopOhm"), Number(items[0], "leastOhm"), Number(items[0], "mostOhm"), items[0].GetProperty("unknownBecause").GetString()));
        Assert.Equal(("derived", "2026-10-20", 5.3), (items[0].GetProperty("provenance").GetString(), items[0].GetProperty("earlierFrom").GetString(), Number(items[0], "earlierLoopOhm")));
        Assert.All(["loopOhm", "leastOhm", "mostOhm", "surelyGrownPercent"], name => Assert.Equal(JsonValueKind.Null, items[1].GetProperty(name).ValueKind));
        Assert.StartsWith("no day is over yet", items[1].GetProperty("unknownBecause").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_segment_of_the_run_has_it_and_others_have_none()
    {
        await using var api = await ApiHarness.StartAsync(view: View());
        Assert.Equal(5.5, Number(Segment(await api.GetAsync("/api/v1/poles/quay-01")).GetProperty("loop"), "loopOhm"));
        Assert.Equal(JsonValueKind.Null, Segment(await api.GetAsync("/api/v1/poles/quay-03")).GetProperty("loop").ValueKind);
    }

    private static JsonElement Segment(JsonElement pole) => pole.GetProperty("cableRuns")[0].GetProperty("segments")[0];

    private static double Number(JsonElement item, string name) => item.GetProperty(name).GetDouble();

    private static SiteView View()
    {
        var view = Harbour.View();
        var known = new LoopEstimate(LoopOutcome.Found, Resistance.FromOhms(5.5), Resistance.FromOhms(0.3), Resistance.FromOhms(0.2), 20);
        ImmutableArray<SegmentBalance> segments =
        [
            new(Segment(view, 1), Harbour.Now, 7, known, known with { Loop = Resistance.FromOhms(5.3) }, Power.FromWatts(0.1))
            {
                EarlierFrom = new DateOnly(2026, 10, 20),
                EarlierTo = new DateOnly(2026, 10, 26),
            },
            new(Segment(view, 2), Harbour.Now, 0, null, null, Power.FromWatts(0.1)),
        ];
        return view with { Assessment = view.Assessment with { Segments = segments } };
    }

    private static MeteredSegment Segment(SiteView view, int port)
    {
        var at = new PsePortRef("quay-west", 1, port);
        CableRun run = view.Design.CableRunByPort[at];
        return new MeteredSegment(run.Id, run.Root.Incoming, at, [], Voltage.FromVolts(54), TimeSpan.FromSeconds(60));
    }
}
