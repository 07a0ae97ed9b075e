using System.Collections.Immutable;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Service;

/// <summary>Maintenance windows, shelves and purging through the whole room, over restarts, with driven time.</summary>
public sealed class MaintenanceStoryTests
{
    private const string Port = "quay-west:1/7";

    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));
    private readonly MemoryStore _store = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task An_alarm_inside_a_window_is_suppressed_over_a_restart_and_raised_once_when_the_window_is_ended()
    {
        string id;
        await using (MonitoredSite first = await StartAsync(watts: 8))
        {
            await first.UntilAsync(() => first.View.Current.Assessment.CableRuns[Port].DrawAtPse.Watts is not null, "a draw is known");
            Task<MaintenanceWindow?> announced = first.Monitor.AnnounceAsync("pole/pole-7", _time.GetUtcNow(), _time.GetUtcNow().AddHours(4), "mira", "new gland", Stop);
            await first.UntilAsync(() => announced.IsCompleted, "the window is kept");
            id = (await announced)!.Id;
            Draw(first, 28);
            await first.UntilAsync(() => _store.Alarms.Any(a => a.Key.Type == "headroom-low" && a.MaintenanceId == id), "the suppressed alarm is kept");
        }

        await using MonitoredSite second = await StartAsync(watts: 28);
        await second.UntilAsync(() => second.Polls >= 10 && second.View.Current.Maintenance.Length == 1, "the second life knows the window");
        Assert.DoesNotContain(_store.Changes, c => c.Kind == "raised");

        Task<MaintenanceWindow?> ended = second.Monitor.EndAsync(id, "mira", Stop);
        await second.UntilAsync(() => ended.IsCompleted && _store.Changes.Any(c => c.Kind == "raised"), "the end raises what still holds");
        await second.UntilAsync(() => second.Polls >= 20, "some time passes");
        Assert.Single(_store.Changes, c => c.Key == new AlarmKey("run/" + Port, "headroom-low") && c.Kind == "raised");
        Assert.Single(_store.Changes, c => c.Key == new AlarmKey("run/" + Port, "headroom-low") && c.Kind == "suppressed");
    }

    [Fact]
    public async Task A_window_of_the_design_suppresses_and_once_ended_early_stays_ended_in_a_later_life()
    {
        DesignModel design = Design(new PlannedWork("gland", "pole/pole-7", _time.GetUtcNow().AddMinutes(-5), _time.GetUtcNow().AddHours(4), "Mira", "new gland"));
        await using (MonitoredSite first = await StartAsync(watts: 28, design))
        {
            await first.UntilAsync(() => _store.Alarms.Any(a => a.Key.Type == "headroom-low" && a.MaintenanceId == "gland"), "the suppressed alarm is kept");
            Assert.DoesNotContain(_store.Changes, c => c.Kind == "raised");
            Task<MaintenanceWindow?> ended = first.Monitor.EndAsync("gland", "mira", Stop);
            await first.UntilAsync(() => ended.IsCompleted && _store.Changes.Any(c => c.Kind == "raised"), "the end raises what still holds");
        }

        await using MonitoredSite second = await StartAsync(watts: 28, design);
        await second.UntilAsync(() => second.Polls >= 10 && second.View.Current.Maintenance.Length == 1, "the second life knows the window");
        Assert.Equal((true, "mira"), (second.View.Current.Maintenance[0].IsOfDesign, second.View.Current.Maintenance[0].EndedBy));
        Assert.Single(_store.Changes, c => c.Kind == "suppressed");
        Assert.Single(_store.Changes, c => c.Kind == "raised");
    }

    [Fact]
    public async Task A_window_at_a_place_that_the_design_does_not_have_is_not_taken()
    {
        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => site.Monitor.AlarmProblem.Length == 0, "the store is open");
        Task<MaintenanceWindow?> announced = site.Monitor.AnnounceAsync("pole/nowhere", _time.GetUtcNow(), _time.GetUtcNow().AddHours(1), "mira", "x", Stop);
        await site.UntilAsync(() => announced.IsCompleted, "an answer came");
        Assert.Null(await announced);
    }

    [Fact]
    public async Task A_shelf_ends_by_itself_in_a_later_life()
    {
        var key = new AlarmKey("run/" + Port, "headroom-low");
        await using (MonitoredSite first = await StartAsync(watts: 28))
        {
            await first.UntilAsync(() => _store.Alarms.Any(a => a.Key == key), "the alarm is kept");
            Task shelved = first.Monitor.SetOperatorStateAsync(
                key, OperatorState.Shelved, "mira", "crew is there", new AlarmShelf(_time.GetUtcNow().AddMinutes(5), null), Stop);
            await first.UntilAsync(() => shelved.IsCompleted, "the shelf is kept");
        }

        await using MonitoredSite second = await StartAsync(watts: 28);
        await second.UntilAsync(() => _store.Changes.Any(c => c.Key == key && c.Kind == "un-shelved"), "the shelf ends");
        Assert.Single(_store.Changes, c => c.Key == key && c.Kind == "raised");
    }

    [Fact]
    public async Task What_was_cleared_long_ago_leaves_the_list_and_its_changes_stay()
    {
        var old = new AlarmKey("port/gone:1/1", "port-dark");
        DateTimeOffset at = _time.GetUtcNow().AddDays(-31);
        await _store.SaveAlarmsAsync(
            [new Alarm(old, AlarmSeverity.Minor, true, at, at, "text", "steps", OperatorState.None, "", "")],
            [new AlarmChange(old, at, "cleared", AlarmSeverity.Minor, "", "text")], Stop);

        await using MonitoredSite site = await StartAsync(watts: 8);
        await site.UntilAsync(() => _store.Alarms.All(a => a.Key != old) && site.View.Current.Alarms.All(a => a.Key != old), "it is purged");
        Assert.Equal(["cleared", "purged"], _store.Changes.Where(c => c.Key == old).Select(c => c.Kind));
    }

    private static DesignModel Design(params PlannedWork[] work) => work.Aggregate(Harbour(), (builder, planned) => builder.Maintenance(planned)).Build();

    private static DesignModelBuilder Harbour() => new DesignModelBuilder()
        .Policy(DesignModelBuilder.Floors(5, 1))
        .DeviceType("camera", 9, PoeClass.Class3)
        .Switch("quay-west", pollPeriod: TimeSpan.FromSeconds(10))
        .Port(Port, 30)
        .Device("cam-07", "camera", "pole-7")
        .Cable(Port, "cam-07", meters: 40);

    private static void Draw(MonitoredSite site, double watts) =>
        site.WattsByPort = ImmutableDictionary<string, double>.Empty.Add(Port, watts);

    private async Task<MonitoredSite> StartAsync(double watts, DesignModel? design = null)
    {
        var site = new MonitoredSite(_store, _time, design ?? Design());
        Draw(site, watts);
        await site.StartAsync();
        return site;
    }
}
