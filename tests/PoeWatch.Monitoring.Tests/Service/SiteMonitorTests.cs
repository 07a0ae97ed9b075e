using System.Collections.Immutable;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Service;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Service;

/// <summary>The whole way from a reading to an alarm that is kept, with driven time.</summary>
public class SiteMonitorTests
{
    private const string Port = "quay-west:1/7";

    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));
    private readonly MemoryStore _store = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Whoever_asks_does_not_wait_until_the_loop_has_rested()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        long before = site.View.Current.Version;

        // The clock stands, so no rest ends by itself.
        await site.Monitor.RenewAsync(Stop).WaitAsync(TimeSpan.FromSeconds(30), Stop);
        await site.Monitor.RenewAsync(Stop).WaitAsync(TimeSpan.FromSeconds(30), Stop);

        Assert.InRange(site.View.Current.Version, before + 2, long.MaxValue);
    }

    [Theory]
    [InlineData(0, 200)]
    [InlineData(50, 200)]
    [InlineData(100, 400)]
    [InlineData(1500, 6000)]
    [InlineData(60_000, 10_000)]
    public void The_longer_a_step_takes_the_longer_the_loop_rests_but_never_long(int tookMilliseconds, int restMilliseconds) =>
        Assert.Equal(TimeSpan.FromMilliseconds(restMilliseconds), SiteMonitor.RestAfter(TimeSpan.FromMilliseconds(tookMilliseconds)));

    [Fact]
    public async Task A_run_that_loses_its_headroom_raises_one_alarm_that_is_kept_and_clears_again()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.View.Current.Assessment.CableRuns[Port].DrawAtPse.Watts is not null, "a draw is known");
        Assert.Empty(site.View.Current.Alarms);

        Draw(site, 28);
        await site.UntilAsync(() => Active(site, "headroom-low") is not null, "the alarm is raised");
        await site.UntilAsync(() => _store.Alarms.Any(a => a.Key.Type == "headroom-low"), "the alarm is kept");
        Draw(site, 8);
        await site.UntilAsync(() => site.View.Current.Alarms.All(a => a.IsCleared), "the alarm is cleared");
        await site.UntilAsync(() => _store.Changes.Count(c => c.Kind == "cleared") == _store.Changes.Count(c => c.Kind == "raised"), "the clearing is kept");

        Assert.Single(_store.Changes, c => c.Key == new AlarmKey("run/" + Port, "headroom-low") && c.Kind == "raised");
    }

    [Fact]
    public async Task A_restart_neither_repeats_nor_loses_an_alarm_nor_what_was_said_of_it()
    {
        AlarmKey key;
        await using (MonitoredSite first = await StartAsync(watts: 28))
        {
            await first.UntilAsync(() => Active(first, "headroom-low") is not null, "the alarm is raised");
            key = Active(first, "headroom-low")!.Key;
            Task<AlarmActionOutcome> acked = first.Monitor.SetOperatorStateAsync(key, OperatorState.Ack, "mira", "looking", null, Stop);
            await first.UntilAsync(() => acked.IsCompleted, "the acknowledgement is done");
            Assert.Equal(AlarmActionOutcome.Done, await acked);
        }

        await using MonitoredSite second = await StartAsync(watts: 28);
        await second.UntilAsync(() => second.Polls >= 3 && Active(second, "headroom-low") is not null, "the second life knows the alarm");

        Alarm alarm = Active(second, "headroom-low")!;
        Assert.Equal((OperatorState.Ack, "mira", "looking"), (alarm.OperatorState, alarm.OperatorName, alarm.OperatorText));
        Assert.Single(_store.Changes, c => c.Key == key && c.Kind == "raised");
    }

    [Fact]
    public async Task A_silent_switch_leaves_its_ports_unknown_and_raises_one_alarm_of_its_own()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.View.Current.Assessment.CableRuns[Port].DrawAtPse.Watts is not null, "a draw is known");

        site.WattsByPort = ImmutableDictionary<string, double>.Empty;
        await site.UntilAsync(() => Active(site, "switch-silent") is not null, "the silence is raised");

        Assert.Equal(Provenance.Unknown, site.View.Current.Assessment.CableRuns[Port].DrawAtPse.Provenance);
        Assert.Null(site.View.Current.Assessment.CableRuns[Port].DrawAtPse.Watts);
        Assert.Single(site.View.Current.Alarms, a => !a.IsCleared);
    }

    [Fact]
    public async Task What_an_operator_says_is_not_done_where_it_cannot_be_kept()
    {
        await using MonitoredSite site = await StartAsync(watts: 28);
        await site.UntilAsync(() => Active(site, "headroom-low") is not null, "the alarm is raised");
        await site.UntilAsync(() => _store.Alarms.Any(a => a.Key.Type == "headroom-low"), "the alarm is kept");

        _store.Failure = MemoryStore.Away();
        Task<AlarmActionOutcome> acked = site.Monitor.SetOperatorStateAsync(Active(site, "headroom-low")!.Key, OperatorState.Ack, "mira", "", null, Stop);
        await site.UntilAsync(() => acked.IsCompleted, "an answer came");

        Assert.Equal(AlarmActionOutcome.NotKept, await acked);
        Assert.Equal(OperatorState.None, Active(site, "headroom-low")!.OperatorState);
        _store.Failure = null;
    }

    [Fact]
    public async Task Alarm_changes_wait_for_a_store_that_is_away_and_are_kept_once_it_is_back()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.Monitor.AlarmProblem.Length == 0, "the alarms of the last run are read");

        _store.Failure = MemoryStore.Away("down");
        Draw(site, 28);
        await site.UntilAsync(() => site.Monitor.AlarmProblem.Contains("down", StringComparison.Ordinal), "the trouble is told");
        Assert.NotNull(Active(site, "headroom-low"));
        _store.Failure = null;

        await site.UntilAsync(() => _store.Changes.Any(c => c.Key.Type == "headroom-low" && c.Kind == "raised"), "the change is kept");
        Assert.Empty(site.Monitor.AlarmProblem);
    }

    [Fact]
    public async Task A_new_design_is_in_force_without_a_missed_poll()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.Polls >= 3, "some polls");
        DateTimeOffset last = _store.Readings.Count > 0 ? _store.Readings.Max(r => r.At) : _time.GetUtcNow();

        Task applied = site.Monitor.UseDesignAsync(Design("second", floor: 25), Stop);
        await site.UntilAsync(() => applied.IsCompleted && site.View.Current.Design.Hash == "second", "the design is in force");
        await site.UntilAsync(() => Active(site, "headroom-low") is not null, "the new floor speaks");

        SwitchReading[] readings = [.. _store.Readings.OrderBy(r => r.At)];
        Assert.All(readings.Zip(readings.Skip(1)), pair => Assert.InRange((pair.Second.At - pair.First.At).TotalSeconds, 1, 11));
        Assert.True(readings[^1].At > last);
    }

    [Fact]
    public async Task The_view_says_which_readings_are_kept()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.View.Current.IsKept("quay-west"), "the reading is kept");

        _store.Failure = MemoryStore.Away();
        await site.UntilAsync(() => !site.View.Current.IsKept("quay-west"), "a newer reading is not kept");
        _store.Failure = null;
    }

    [Fact]
    public async Task An_answer_that_was_dropped_for_want_of_room_never_passes_as_kept()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.View.Current.IsKept("quay-west"), "the reading is kept");
        _store.Failure = MemoryStore.Away();
        await site.UntilAsync(() => !site.View.Current.IsKept("quay-west"), "a newer answer is not kept");

        site.WattsByPort = ImmutableDictionary<string, double>.Empty;
        for (var i = 0; i < site.Keeper.WaitingMax; i++)
        {
            site.Intake.Accept(new SwitchReading("elsewhere", 0, _time.GetUtcNow().AddTicks(i), PollOutcome.Silent, "", null, [], []));
        }

        _store.Clear();
        _store.Failure = null;
        await site.UntilAsync(() => site.Keeper.WaitingReadings == 0, "all that waited is kept");
        await site.UntilAsync(() => site.View.Current.KeptSequence == site.Keeper.KeptSequence, "the view knows");

        Assert.DoesNotContain(_store.Readings, r => r.PseId == "quay-west" && r.Outcome == PollOutcome.Answered);
        Assert.False(site.View.Current.IsKept("quay-west"));
    }

    [Fact]
    public async Task A_fault_in_the_store_s_own_code_loses_no_alarm()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.Monitor.AlarmProblem.Length == 0, "the alarms of the last run are read");

        _store.Failure = new InvalidOperationException("a bug");
        Draw(site, 28);
        await site.UntilAsync(() => Active(site, "headroom-low") is not null, "the alarm is raised");
        await site.UntilAsync(() => site.Monitor.AlarmProblem.Contains("a bug", StringComparison.Ordinal), "the trouble is told");
        _store.Failure = null;

        await site.UntilAsync(() => _store.Changes.Any(c => c.Key.Type == "headroom-low" && c.Kind == "raised"), "the change is kept");
    }

    [Fact]
    public async Task A_view_that_cannot_be_renewed_is_told_to_people()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.View.Current.Assessment.CableRuns[Port].DrawAtPse.Watts is not null, "a draw is known");
        Assert.Empty(site.Monitor.ViewProblem);

        // A reading without its text can only come of a bug.
        site.Intake.Accept(new SwitchReading("quay-west", 0, _time.GetUtcNow(), PollOutcome.Silent, null!, null, [], []));

        await site.UntilAsync(() => site.Monitor.ViewProblem.Length > 0, "the fault is told");
        await site.UntilAsync(() => site.Monitor.ViewProblem.Length == 0, "the next good reading mends it");
    }

    private static DesignModel Design(string hash = "first", double floor = 5) => new DesignModelBuilder()
        .Hash(hash)
        .Policy(DesignModelBuilder.Floors(floor, 1))
        .DeviceType("camera", 9, PoeClass.Class3)
        .Switch("quay-west", pollPeriod: TimeSpan.FromSeconds(10))
        .Port(Port, 30)
        .Device("cam-07", "camera", "pole-7")
        .Cable(Port, "cam-07", meters: 40)
        .Build();

    private static Alarm? Active(MonitoredSite site, string type) =>
        site.View.Current.Alarms.FirstOrDefault(a => !a.IsCleared && a.Key.Type == type && a.Key.Resource is "run/" + Port or "switch/quay-west");

    private static void Draw(MonitoredSite site, double watts) =>
        site.WattsByPort = ImmutableDictionary<string, double>.Empty.Add(Port, watts);

    private async Task<MonitoredSite> StartAsync(double watts)
    {
        var site = new MonitoredSite(_store, _time, Design());
        Draw(site, watts);
        await site.StartAsync();
        return site;
    }
}
