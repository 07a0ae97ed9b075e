using System.Collections.Frozen;
using System.Collections.Immutable;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Alarming;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Service;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Alarming;

/// <summary>
/// Thirty-six days of a switch with a port that creeps, one that creeps towards the end of its run's headroom and one whose draw steps, polled every ten minutes: with a
/// restart anywhere the same alarms come and go.
/// </summary>
public sealed class TrendRestartTests
{
    private const int Days = 36;
    private const int PollMinutes = 10;
    private static readonly DateTimeOffset s_start = new(2026, 3, 2, 0, 0, 0, TimeSpan.Zero);

    // A quarter-hour in which the service was away is lost, and a step needs four that follow each other.
    private static readonly TimeSpan s_later = TimeSpan.FromMinutes(75);

    private static readonly DesignModel s_design = new DesignModelBuilder()
        .LoadCase("day", new DailyWindow(new TimeOnly(6, 0), new TimeOnly(20, 0))).LoadCase("night", new DailyWindow(new TimeOnly(20, 0), new TimeOnly(6, 0)))
        .DeviceType("camera", 10, Domain.Poe.PoeClass.Class4, ("night", 14)).DeviceType("beacon", 14)
        .Switch("quay", pollPeriod: TimeSpan.FromMinutes(PollMinutes)).Port("quay:1/1").Port("quay:1/2").Port("quay:1/3")
        .Device("cam-1", "camera", "pole-1").Device("cam-2", "camera", "pole-2").Device("beacon-3", "beacon", "pole-3")
        .Cable("quay:1/1", "cam-1").Cable("quay:1/2", "cam-2").Cable("quay:1/3", "beacon-3").Build();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(20, 0.5)] // before anything is told
    [InlineData(30, 13.5)] // while the step stands
    [InlineData(34, 23.9)] // while both creeps stand, just before midnight
    public async Task The_same_alarms_come_and_go_with_and_without_a_restart(int day, double hour)
    {
        var whole = await PlayAsync([]);
        Assert.Equal(
            [
                "port/quay:1/1 draw-creep raised", "port/quay:1/2 draw-step cleared", "port/quay:1/2 draw-step raised",
                "port/quay:1/3 draw-creep cleared", "port/quay:1/3 draw-creep raised", "run/quay:1/3 headroom-ends raised",
            ],
            whole.Select(c => $"{c.Key.Resource} {c.Key.Type} {c.Kind}").Order(StringComparer.Ordinal));

        var cut = await PlayAsync([s_start.AddDays(day).AddHours(hour)]);

        Assert.Equal(whole.Select(Name), cut.Select(Name));
        Assert.All(whole.Zip(cut), pair => Assert.InRange(pair.Second.At - pair.First.At, -s_later, s_later));

        static (AlarmKey, string) Name(AlarmChange change) => (change.Key, change.Kind);
    }

    [Fact]
    public async Task Without_the_history_a_standing_step_is_not_cleared_for_lack_of_knowledge()
    {
        var changes = await PlayAsync([s_start.AddDays(30).AddHours(13.5)], hasHistory: false, until: s_start.AddDays(30).AddHours(23));
        Assert.Equal(["raised"], changes.Where(c => c.Key.Type == AlarmTypes.DrawStep).Select(c => c.Kind));
    }

    /// <summary>Plays all days; at each cut the service is stopped and another one goes on after twenty minutes.</summary>
    private static async Task<IReadOnlyList<AlarmChange>> PlayAsync(DateTimeOffset[] cuts, bool hasHistory = true, DateTimeOffset? until = null)
    {
        var store = new MemoryStore();
        var time = new FakeTimeProvider(s_start);
        var analysis = DesignAnalysis.Of(s_design);
        AlarmLedger ledger = await StartAsync(store, time);
        DateTimeOffset end = until ?? s_start.AddDays(Days);
        for (DateTimeOffset at = s_start.AddMinutes(3); at < end; at = at.AddMinutes(PollMinutes))
        {
            if (cuts.Any(cut => at - cut is { TotalMinutes: >= 0 and < PollMinutes }))
            {
                await ledger.FlushAsync();
                at = at.AddMinutes(2 * PollMinutes);
                time.SetUtcNow(at);
                ledger = await StartAsync(store, time);
                if (hasHistory)
                {
                    ledger.Recall(await RecallAsync(store, time));
                }
            }

            time.SetUtcNow(at);
            SwitchReading reading = Poll(at);
            await store.AppendAsync([reading], Stop);
            var byPse = new[] { reading }.ToFrozenDictionary(r => r.PseId);
            var snapshot = new NetworkSnapshot(at, byPse, byPse);
            ledger.Apply(at, s_design, snapshot, SiteAssessor.Assess(analysis, snapshot), null, _ => "");
            ledger.StartSaving();
        }

        await ledger.FlushAsync();
        return [.. store.Changes.Where(c => c.Key.Type is AlarmTypes.DrawStep or AlarmTypes.DrawCreep or AlarmTypes.HeadroomEnds)];
    }

    private static async Task<AlarmLedger> StartAsync(MemoryStore store, FakeTimeProvider time)
    {
        var gate = new StoreGate(store, time, NullLogger<StoreGate>.Instance);
        Assert.True(await gate.TryOpenAsync(Stop));
        var ledger = new AlarmLedger(store, gate, new AlarmTimings(), time, NullLogger<AlarmLedger>.Instance);
        await ledger.RestoreOnceAsync(Stop);
        return ledger;
    }

    private static async Task<IReadOnlyDictionary<PsePortRef, PortMemory>> RecallAsync(MemoryStore store, FakeTimeProvider time)
    {
        var nothing = new NetworkSnapshot(s_start, FrozenDictionary<string, SwitchReading>.Empty, FrozenDictionary<string, SwitchReading>.Empty);
        var view = new SiteViewHolder(new SiteView(0, s_design, nothing, SiteAssessor.Assess(DesignAnalysis.Of(s_design), nothing), [], 0));
        var timeline = new DesignTimeline(store, new NoSource(), view);
        var maker = new RollupMaker(store, store);
        using var keeper = new RollupKeeper(
            store, store, new RollupWriter(maker, store, time), timeline, new LateReadingWatch(store, store), new StoreGate(store, time, NullLogger<StoreGate>.Instance),
            new RollupMetrics(new TestMeters()), time, NullLogger<RollupKeeper>.Instance);
        while (await keeper.TurnAsync(Stop))
        {
        }

        var history = new TrendHistory(store, maker, timeline, store);
        Assert.True(await history.IsReadyAsync(time.GetUtcNow(), Stop));
        return await history.ReadAsync(s_design, time.GetUtcNow(), Stop);
    }

    private static SwitchReading Poll(DateTimeOffset at)
    {
        var (day, night) = ((at - s_start).TotalDays, at.Hour is >= 20 or < 6 ? 3 : 0);
        var noise = new Random((int)(at - s_start).TotalMinutes);
        return new SwitchReading(
            "quay", 0, at, PollOutcome.Answered, "", TimeSpan.FromDays(100),
            ImmutableArray.Create(
                SnapshotBuilder.Delivering("quay:1/1", 5 + (0.05 * day) + night + (0.2 * noise.NextDouble())),
                SnapshotBuilder.Delivering("quay:1/2", (day < 30.5 ? 5 : 8.5) + (0.2 * noise.NextDouble())),
                SnapshotBuilder.Delivering("quay:1/3", 2 + (0.3 * day) + (0.2 * noise.NextDouble()))),
            []);
    }

    private sealed class NoSource : IDesignSource
    {
        public DesignReading Read() => new(null, [], string.Empty);

        public DesignReading Parse(string text, string name) => new(null, [], text);
    }
}
