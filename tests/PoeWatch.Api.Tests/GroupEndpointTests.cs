using System.Text.Json;
using PoeWatch.Api.Tests.Fakes;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Api.Tests;

/// <summary>A group of four cameras by class behind two supplies and a battery, as the API shows it. 30 W for class 4: IEEE 802.3 class table.</summary>
public sealed class GroupEndpointTests
{
    private const string Group = "/api/v1/groups/quay-west/1";

    [Fact]
    public async Task Group_keeps_capacity_guard_band_allocated_drawn_and_requested_apart()
    {
        await using var api = await ApiHarness.StartAsync(view: View());

        var group = (await api.GetAsync(Group)).GetProperty("group");
        var account = group.GetProperty("account");

        Assert.Equal((150.0, 40.0), (Number(group, "budgetW"), Number(group.GetProperty("draw"), "drawAtPseW")));
        Assert.Equal(("by-class", 10.0, 120.0, "class-bound"), (account.GetProperty("policy").GetString(), Number(account, "guardBandW"), Number(account, "allocatedW"), account.GetProperty("allocatedProvenance").GetString()));
        Assert.Equal((20.0, 100.0, 120.0), (Number(account, "allocationHeadroomW"), Number(group, "headroomW"), Number(account, "requestedW")));
        Assert.Equal("With its largest supply lost (N+1), group quay-west:1 draws 40 W, at most 60 W: 20 W left.", account.GetProperty("limits")[1].GetProperty("sentence").GetString());
        Assert.Equal((2, 60.0, "ups-1"), ((int)Number(account.GetProperty("supplies"), "supplyCount"), Number(account.GetProperty("supplies"), "afterLossW") + 10, account.GetProperty("upsId").GetString()));
    }

    [Fact]
    public async Task Shed_order_goes_by_the_configured_priority_and_names_what_the_design_wants_otherwise()
    {
        await using var api = await ApiHarness.StartAsync(view: View());

        var group = await api.GetAsync(Group + "?budgetW=100");

        Assert.Equal([4, 3, 2, 1], group.GetProperty("shedOrder").EnumerateArray().Select(p => (int)Number(p, "portNumber")));
        Assert.Equal(["quay-west:1/4", "quay-west:1/3", "quay-west:1/2"], Refs(group.GetProperty("afterSupplyLoss"), "droppedPortRefs").Take(3));
        Assert.Equal((90.0, 3), (Number(group.GetProperty("onBudget"), "usableW"), Refs(group.GetProperty("onBudget"), "keptPortRefs").Count()));
        var conflict = Assert.Single(group.GetProperty("conflicts").EnumerateArray());
        Assert.Equal(("quay-west:1/4", "quay-west:1/3"), (conflict.GetProperty("portRef").GetString(), conflict.GetProperty("keptLongerPortRef").GetString()));
        Assert.True(Number(group, "extraOnFreePortW") <= Number(group, "extraOnRunsW"));
    }

    // 0.45 A at 54 V a port (IEEE 802.3, from memory): 97.2 W of the 160 W that the supplies give.
    [Fact]
    public async Task Cold_start_says_in_how_many_stages_the_group_starts()
    {
        await using var api = await ApiHarness.StartAsync(view: View());

        var start = Assert.Single((await api.GetAsync(Group)).GetProperty("coldStarts").EnumerateArray());

        Assert.Equal((97.2, 160.0, 140.0, 1), (Number(start, "inrushW"), Number(start, "suppliesW"), Number(start, "usableW"), (int)Number(start, "stageCount")));
        Assert.Equal("All ports may start at one moment.", start.GetProperty("startSentence").GetString());
    }

    [Fact]
    public async Task Battery_shows_how_long_it_lasts()
    {
        await using var api = await ApiHarness.StartAsync(view: View());

        var ups = Assert.Single((await api.GetAsync("/api/v1/ups")).GetProperty("items").EnumerateArray());

        // 40 W over supplies of 90 %: 44.44 W; 400 Wh x 0.8 x 0.9 / 44.44 W = 6.48 h.
        Assert.Equal((44.444, 23328.0), (Number(ups.GetProperty("load"), "drawAtPseW"), Number(ups, "runtimeSeconds")));
        Assert.Equal((36000.0, true), (Number(ups, "wantedRuntimeSeconds"), ups.GetProperty("isShortByDesign").GetBoolean()));
    }

    // Words of RFC 1628; 75 s before the reading of 5 s ago.
    [Fact]
    public async Task What_the_battery_says_of_itself_stands_beside_what_is_reckoned()
    {
        var told = new UpsFigures(UpsSource.Battery, UpsBatteryState.Low, TimeSpan.FromSeconds(75), TimeSpan.FromMinutes(37), 62, 41, Power.FromWatts(183));
        await using var api = await ApiHarness.StartAsync(view: View(new UpsReading("ups-1", told, Harbour.Now.AddSeconds(-5), Harbour.Now.AddMinutes(3), "")));

        var ups = Assert.Single((await api.GetAsync("/api/v1/ups")).GetProperty("items").EnumerateArray());
        var tells = ups.GetProperty("tells");

        Assert.Equal(("battery", true, "low"), (tells.GetProperty("source").GetString(), tells.GetProperty("isOnBattery").GetBoolean(), tells.GetProperty("battery").GetString()));
        Assert.Equal(Harbour.Now.AddSeconds(-80), tells.GetProperty("onBatterySince").GetDateTimeOffset());
        Assert.Equal((2220.0, 62.0, 41.0, 183.0, 5.0), (Number(tells, "remainingSeconds"), Number(tells, "chargePercent"), Number(tells, "loadPercent"), Number(tells, "outputW"), Number(tells, "ageSeconds")));
        Assert.Equal("UPS-MIB (RFC 1628)", tells.GetProperty("readFrom").GetString());
        Assert.Equal(23328.0, Number(ups, "runtimeSeconds"));
    }

    [Fact]
    public async Task A_battery_that_was_not_heard_tells_nothing_and_says_why()
    {
        await using var api = await ApiHarness.StartAsync(view: View(new UpsReading("ups-1", null, Harbour.Now, Harbour.Now.AddMinutes(3), "No answer.")));

        var tells = Assert.Single((await api.GetAsync("/api/v1/ups")).GetProperty("items").EnumerateArray()).GetProperty("tells");

        Assert.Equal(("unknown", JsonValueKind.Null, JsonValueKind.Null), (tells.GetProperty("source").GetString(), tells.GetProperty("isOnBattery").ValueKind, tells.GetProperty("ageSeconds").ValueKind));
        Assert.Equal("No answer.", tells.GetProperty("problem").GetString());
    }

    [Theory]
    [InlineData("/api/v1/groups/quay-west/2", 404, "quay-west:2")]
    [InlineData("/api/v1/groups/quay-north/1", 404, "quay-north:1")]
    [InlineData("/api/v1/groups/quay-west/1?budgetW=-5", 400, "-5")]
    public async Task What_is_not_there_is_named(string path, int status, string value)
    {
        await using var api = await ApiHarness.StartAsync(view: View());

        using var answer = await api.Client.GetAsync(new Uri(path, UriKind.Relative), TestContext.Current.CancellationToken);

        Assert.Equal(status, (int)answer.StatusCode);
        var problem = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken)).RootElement;
        Assert.Equal(value, problem.GetProperty("value").GetString());
    }

    private static double Number(JsonElement element, string name) => element.GetProperty(name).GetDouble();

    private static IEnumerable<string?> Refs(JsonElement plan, string name) => plan.GetProperty(name).EnumerateArray().Select(p => p.GetString());

    private static SiteView View(params UpsReading[] upsReadings)
    {
        var design = new DesignModelBuilder().DeviceType("camera", 10).Switch(
                "quay-west", 150, 10, allocation: AllocationPolicy.ByClass, supplies: [new Supply("a", Power.FromWatts(60)), new Supply("b", Power.FromWatts(100))])
            .Ups(new Ups("ups-1", "Battery", ["quay-west"], 400, Ratio.FromFraction(0.9), Ratio.FromFraction(0.8), Power.Zero, TimeSpan.FromHours(10))
            {
                Agent = new SnmpAgent("192.0.2.14", 161, "default", TimeSpan.FromMinutes(1), null),
            });
        for (var port = 1; port <= 4; port++)
        {
            design.Device($"cam-{port}", "camera", "pole-1", port == 4 ? Criticality.Critical : Criticality.Low)
                .Port($"quay-west:{port}").Cable($"quay-west:{port}", $"cam-{port}", 40);
        }

        var model = design.Build();
        var snapshot = new SnapshotBuilder(Harbour.Now).Answered(
            "quay-west", TimeSpan.FromSeconds(5),
            [.. Enumerable.Range(1, 4).Select(port => SnapshotBuilder.Delivering($"quay-west:{port}", 10, assigned: PoeClass.Class4) with { Priority = Criticality.Low })]).Build();
        return new SiteView(1, model, snapshot, SiteAssessor.Assess(DesignAnalysis.Of(model), snapshot, upsReadings: upsReadings), [], 1);
    }
}
