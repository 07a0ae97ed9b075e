using System.Collections.Frozen;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Service;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Rollups;

/// <summary>What is rolled up when, over a store in memory: two switches of two ports, a pole of each and a pole of both, a poll a minute.</summary>
public sealed class RollupKeeperTests
{
    // A day of 25 hours: the clock goes back on 25 October 2026 (Directive 2000/84/EC).
    private static readonly DateTimeOffset Start = new(2026, 10, 24, 22, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset DayEnd = Start.AddHours(25);

    private readonly FakeTimeProvider _time = new(Start.AddMinutes(1));
    private readonly MemoryStore _store = new();
    private readonly LateReadingWatch _late;
    private readonly RollupReader _reader;
    private RollupKeeper _keeper;

    public RollupKeeperTests()
    {
        _late = new LateReadingWatch(_store, _store);
        _reader = new RollupReader(_store, new RollupMaker(_store, _store), Timeline());
        _keeper = NewKeeper();
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    private static DesignModel Design => new DesignModelBuilder().InZone("Europe/Berlin")
        .DeviceType("camera", 10).Switch("east").Switch("west").Port("east:1/1").Port("east:1/2").Port("west:1/1").Port("west:1/2")
        .Device("cam-1", "camera", pole: "pole-east").Device("cam-2", "camera", pole: "pole-west").Device("cam-3", "camera", pole: "pole-both").Device("cam-4", "camera", pole: "pole-both")
        .Cable("east:1/1", "cam-1").Cable("west:1/1", "cam-2").Cable("east:1/2", "cam-3").Cable("west:1/2", "cam-4")
        .Build();

    [Fact]
    public async Task An_hour_is_rolled_up_some_minutes_after_its_end_and_not_before()
    {
        await PollAsync(Start, Start.AddMinutes(70));
        await RunAsync(Start.AddMinutes(64));
        Assert.DoesNotContain(_store.Rollups, b => b.Start >= Start);

        await RunAsync(Start.AddMinutes(65));
        Assert.Equal(Start.AddHours(1), _keeper.UpTo);
        var hour = Assert.Single(await ReadAsync(DrawPlace.OfPort(new PsePortRef("east", 1, 2)), RollupStep.Hour, Start, Start.AddHours(1)));
        Assert.Equal((12.0, 1.0), (Math.Round(hour.EnergyWattHours, 4), hour.Coverage));
    }

    [Fact]
    public async Task Sums_follow_the_design()
    {
        // east: 11 and 12 W, west: 21 and 22 W.
        await PollAsync(Start, Start.AddMinutes(70));
        await RunAsync(Start.AddMinutes(66));
        Assert.Equal(11, await MeanAsync(DrawPlace.OfPole("pole-east")), 3);
        Assert.Equal(21, await MeanAsync(DrawPlace.OfPole("pole-west")), 3);
        Assert.Equal(34, await MeanAsync(DrawPlace.OfPole("pole-both")), 3);
        Assert.Equal(23, await MeanAsync(DrawPlace.OfSwitch("east")), 3);
        Assert.Equal(66, await MeanAsync(DrawPlace.Site), 3);
    }

    [Fact]
    public async Task A_silent_switch_leaves_its_sums_unknown_and_the_site_at_least_the_rest()
    {
        await PollAsync(Start, Start.AddMinutes(70), "east");
        await RunAsync(Start.AddMinutes(66));
        var site = Assert.Single(await ReadAsync(DrawPlace.Site, RollupStep.Hour, Start, Start.AddHours(1)));
        Assert.Equal((0.0, 0.0, null), (site.Coverage, site.EnergyWattHours, site.Mean));
        Assert.Equal((23.0, 0.5), (Math.Round(site.PartsEnergyWattHours, 3), Math.Round(site.PartsCoverage, 3)));
        var both = Assert.Single(await ReadAsync(DrawPlace.OfPole("pole-both"), RollupStep.Hour, Start, Start.AddHours(1)));
        Assert.Equal((0.0, 12.0), (both.Coverage, Math.Round(both.PartsEnergyWattHours, 3)));
    }

    [Fact]
    public async Task A_day_of_25_hours_takes_the_place_of_its_hours()
    {
        await PollAsync(Start, DayEnd.AddMinutes(10));
        await RunAsync(Start.AddHours(3).AddMinutes(6));
        await RunAsync(DayEnd.AddMinutes(6));

        Assert.All(_store.Rollups.Where(b => b.Start < DayEnd && b.End > Start), b => Assert.Equal((Start, DayEnd), (b.Start, b.End)));
        var place = DrawPlace.OfPole("pole-both");
        Assert.Equal(100, (await ReadAsync(place, RollupStep.QuarterHour, Start, DayEnd)).Count);
        Assert.Equal(25, (await ReadAsync(place, RollupStep.Hour, Start, DayEnd)).Count);
        var day = Assert.Single(await ReadAsync(place, RollupStep.Day, Start, DayEnd));
        Assert.Equal((850.0, 1.0), (Math.Round(day.EnergyWattHours, 3), day.Coverage)); // 34 W for 25 h
        var histogram = await _reader.HistogramAsync(new PsePortRef("east", 1, 1), Start, DayEnd, Stop);
        Assert.Equal([KeyValuePair.Create(22, TimeSpan.FromHours(25))], histogram.Bins); // 11 W
    }

    [Fact]
    public async Task After_it_was_away_it_catches_up_from_where_it_was()
    {
        await PollAsync(Start, Start.AddMinutes(70));
        await RunAsync(Start.AddMinutes(66));
        await PollAsync(DayEnd.AddHours(1), DayEnd.AddHours(2.2));
        _keeper = NewKeeper();
        await RunAsync(DayEnd.AddHours(2.1));

        Assert.Equal(DayEnd.AddHours(2), _keeper.UpTo);
        var days = await ReadAsync(DrawPlace.OfSwitch("west"), RollupStep.Hour, Start, DayEnd.AddHours(2));
        Assert.Equal(27, days.Count);
        Assert.Equal([1.0, 1.0], [days[0].Coverage, days[26].Coverage]);
        Assert.All(days.Skip(2).Take(23), h => Assert.True(h.IsGap));
    }

    [Theory]
    [InlineData(65)] // of the running day
    [InlineData(1510)] // of a day that is over
    public async Task Readings_that_come_late_are_rolled_up_again_with_all_their_sums(int minutes)
    {
        await PollAsync(Start, Start.AddMinutes(minutes + 5), "east");
        await RunAsync(Start.AddMinutes(minutes));
        Assert.Equal(0, Assert.Single(await ReadAsync(DrawPlace.Site, RollupStep.Hour, Start, Start.AddHours(1))).Coverage);

        await PollAsync(Start, Start.AddMinutes(65), "west");
        Assert.NotEmpty(await _store.ReadLateHoursAsync(Stop));
        await RunAsync(Start.AddMinutes(minutes));

        Assert.Equal(66, await MeanAsync(DrawPlace.Site), 3);
        Assert.Equal(34, await MeanAsync(DrawPlace.OfPole("pole-both")), 3);
        Assert.Equal(43, await MeanAsync(DrawPlace.OfSwitch("west")), 3);
        Assert.Empty(await _store.ReadLateHoursAsync(Stop));
    }

    [Fact]
    public async Task What_came_late_before_a_restart_is_done_after_it()
    {
        await PollAsync(Start, Start.AddMinutes(70), "east");
        await RunAsync(Start.AddMinutes(66));

        // Another life of the service: the first thing it does is to keep what had waited.
        var late = new LateReadingWatch(_store, _store);
        await late.AppendAsync([Poll("west", Start.AddMinutes(30))], Stop);
        _keeper = NewKeeper(late);
        await RunAsync(Start.AddMinutes(66));
        Assert.Equal(1 / 60.0, Assert.Single(await ReadAsync(DrawPlace.OfSwitch("west"), RollupStep.Hour, Start, Start.AddHours(1))).Coverage, 6);
    }

    [Fact]
    public async Task A_rollup_is_never_replaced_by_one_that_knows_less()
    {
        await PollAsync(Start, Start.AddMinutes(70));
        await RunAsync(Start.AddMinutes(66));
        _store.Clear(); // the readings are deleted by policy
        await _late.AppendAsync([Poll("west", Start.AddMinutes(30).AddSeconds(1))], Stop);
        await RunAsync(Start.AddMinutes(66));
        Assert.Equal(43, await MeanAsync(DrawPlace.OfSwitch("west")), 3);
        Assert.Empty(await _store.ReadLateHoursAsync(Stop));
    }

    [Fact]
    public async Task A_clock_that_was_a_day_ahead_for_a_moment_costs_nothing_but_waiting()
    {
        await PollAsync(Start, Start.AddMinutes(10));
        var ahead = new FakeTimeProvider(DayEnd.AddHours(1));
        var keeper = NewKeeper(time: ahead);
        while (await keeper.TurnAsync(Stop))
        {
        }

        Assert.Equal(DayEnd, keeper.UpTo);
        await PollAsync(Start.AddMinutes(10), Start.AddMinutes(70));
        await RunAsync(Start.AddMinutes(66));
        Assert.NotEmpty(await _store.ReadLateHoursAsync(Stop)); // the day is not over: it waits

        await RunAsync(DayEnd.AddMinutes(6));
        Assert.Empty(await _store.ReadLateHoursAsync(Stop));
        Assert.Equal(66, await MeanAsync(DrawPlace.Site), 3);
    }

    [Fact]
    public async Task The_running_hour_is_answered_from_readings()
    {
        await PollAsync(Start, Start.AddMinutes(100));
        await RunAsync(Start.AddMinutes(66));
        var hours = await ReadAsync(DrawPlace.OfPole("pole-both"), RollupStep.Hour, Start, Start.AddMinutes(90));
        Assert.Equal([(1.0, Start.AddHours(1)), (1.0, Start.AddMinutes(90))], hours.Select(h => (h.Coverage, h.End)));
        Assert.Equal(17, Math.Round(hours[1].EnergyWattHours, 3)); // 34 W for half an hour
    }

    [Fact]
    public async Task The_open_hours_of_the_site_come_from_the_readings_as_they_will_be_rolled_up()
    {
        await PollAsync(Start, Start.AddMinutes(130));
        await PollAsync(Start.AddMinutes(131), Start.AddMinutes(170), "west");
        await RunAsync(Start.AddMinutes(66));
        var to = Start.AddMinutes(165);
        foreach (var step in new[] { RollupStep.QuarterHour, RollupStep.Hour })
        {
            var open = await ReadAsync(DrawPlace.Site, step, Start, step == RollupStep.Hour ? Start.AddHours(2) : to);
            Assert.Equal(66, open[0].Mean!.Value.Watts, 3);
            Assert.Equal(66, open[^(step == RollupStep.Hour ? 1 : 4)].Mean!.Value.Watts, 3);
            if (step == RollupStep.QuarterHour)
            {
                // From minute 150 on only west answers: of the sum nothing is known, of its parts the half.
                Assert.Equal((11, 0.0), (open.Count, open[^1].Coverage));
                Assert.Equal((43.0 / 4, 0.5), (Math.Round(open[^1].PartsEnergyWattHours, 3), Math.Round(open[^1].PartsCoverage, 3)));
            }
        }

        var before = (await ReadAsync(DrawPlace.Site, RollupStep.QuarterHour, Start, to)).Select(Text).ToList();
        await RunAsync(Start.AddHours(3).AddMinutes(6));
        Assert.Equal(before, (await ReadAsync(DrawPlace.Site, RollupStep.QuarterHour, Start, to)).Select(Text));

        static string Text(DrawRollup interval) => FormattableString.Invariant(
            $"{interval.Start:HH:mm} {interval.Min} {interval.Mean} {interval.Max} {interval.EnergyWattHours:0.000} {interval.PartsEnergyWattHours:0.000} {interval.PartsCoverage:0.000}");
    }

    [Fact]
    public async Task Of_a_site_that_is_not_rolled_up_at_all_the_last_hours_come_and_of_one_that_catches_up_what_is_stored()
    {
        await PollAsync(Start, Start.AddHours(9));
        var first = await ReadAsync(DrawPlace.Site, RollupStep.Hour, Start, Start.AddHours(9));
        Assert.Equal([6, 7, 8], first.Select(i => (i.Start - Start).TotalHours));
        Assert.All(first, i => Assert.Equal(66, i.Mean!.Value.Watts, 3));

        await _store.SaveRollupFrontierAsync(new RollupFrontier(Start.AddHours(2), null), Stop);
        Assert.Empty(await ReadAsync(DrawPlace.Site, RollupStep.Hour, Start, Start.AddHours(9)));
    }

    [Fact]
    public async Task The_ports_that_drew_most_come_first()
    {
        await PollAsync(Start, DayEnd.AddMinutes(10));
        await RunAsync(DayEnd.AddMinutes(6));
        var top = await _reader.TopAsync(Start, DayEnd, d => d.Max?.Watts, 3, Stop);
        Assert.Equal(["west:1/2", "west:1/1", "east:1/2"], top.Select(t => t.Port.ToString()));
        Assert.Equal([550, 525, 300], top.Select(t => Math.Round(t.Draw.EnergyWattHours, 3)));
    }

    private static SwitchReading Poll(string pseId, DateTimeOffset at)
    {
        var tens = pseId == "east" ? 10 : 20;
        return new SwitchReading(
            pseId, 0, at, PollOutcome.Answered, "", null,
            [.. Enumerable.Range(1, 2).Select(p => new PortReading(
                new PsePortRef(pseId, 1, p), PortState.Delivering, Power.FromWatts(tens + p), Provenance.Measured, null))],
            []);
    }

    private static DesignTimeline Timeline()
    {
        var nothing = new NetworkSnapshot(Start, FrozenDictionary<string, SwitchReading>.Empty, FrozenDictionary<string, SwitchReading>.Empty);
        return new DesignTimeline(
            new MemoryStore(), new NoSource(),
            new SiteViewHolder(new SiteView(0, Design, nothing, SiteAssessor.Assess(DesignAnalysis.Of(Design), nothing), [], 0)));
    }

    private RollupKeeper NewKeeper(LateReadingWatch? late = null, TimeProvider? time = null) => new(
        _store, _store, new RollupWriter(new RollupMaker(_store, _store), _store, _time), Timeline(), late ?? _late,
        new StoreGate(_store, _time, NullLogger<StoreGate>.Instance), new RollupMetrics(new TestMeters()), time ?? _time, NullLogger<RollupKeeper>.Instance);

    private async Task PollAsync(DateTimeOffset from, DateTimeOffset to, params string[] pseIds)
    {
        var readings = new List<SwitchReading>();
        for (var at = from - TimeSpan.FromMinutes(1); at < to; at += TimeSpan.FromMinutes(1))
        {
            readings.AddRange((pseIds.Length > 0 ? pseIds : ["east", "west"]).Select(pse => Poll(pse, at)));
        }

        await _late.AppendAsync(readings, Stop);
    }

    private async Task RunAsync(DateTimeOffset now)
    {
        if (now > _time.GetUtcNow())
        {
            _time.SetUtcNow(now);
        }

        for (var turn = 0; await _keeper.TurnAsync(Stop); turn++)
        {
            Assert.True(turn < 200, "it does not end");
        }
    }

    private async Task<List<DrawRollup>> ReadAsync(DrawPlace place, RollupStep step, DateTimeOffset from, DateTimeOffset to) =>
        await _reader.IntervalsAsync(place, step, from, to, Stop).ToListAsync(Stop);

    private async Task<double> MeanAsync(DrawPlace place) =>
        Assert.Single(await ReadAsync(place, RollupStep.Hour, Start, Start.AddHours(1))).Mean!.Value.Watts;

    private sealed class NoSource : IDesignSource
    {
        public DesignReading Read() => new(null, [], string.Empty);

        public DesignReading Parse(string text, string name) => new(null, [], text);
    }
}
