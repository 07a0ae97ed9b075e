using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>Shelves, quiet changes, purging and maintenance windows, in every store. Each adapter inherits it.</summary>
public abstract class AlarmLifeSuite : StoreSuite
{
    private static readonly DateTimeOffset Start = SampleReadings.Start;
    private static readonly AlarmKey Low = new("run/quay-west:1/3", "headroom-low");

    [Fact]
    public async Task Shelves_acceptances_and_suppression_come_back_exactly()
    {
        await using var store = await Harness.OpenAsync();
        Alarm[] alarms =
        [
            Alarm("a") with { OperatorState = OperatorState.Shelved, Shelf = new AlarmShelf(Start.AddHours(8), null) },
            Alarm("b") with { OperatorState = OperatorState.Shelved, Shelf = new AlarmShelf(Start.AddDays(90), AlarmSeverity.Minor) },
            Alarm("c") with { OperatorState = OperatorState.Shelved },
            Alarm("d") with { MaintenanceId = "mw-20261124-120000" },
        ];

        await store.Alarms.SaveAlarmsAsync(alarms, [], Token);
        Assert.Equal(alarms, (await store.Alarms.LoadAlarmsAsync(Token)).OrderBy(a => a.Key));

        Alarm[] later = [.. alarms.Select(a => a with { OperatorState = OperatorState.UnShelved, Shelf = null, MaintenanceId = "" })];
        await store.Alarms.SaveAlarmsAsync(later, [], Token);
        Assert.Equal(later, (await store.Alarms.LoadAlarmsAsync(Token)).OrderBy(a => a.Key));
    }

    [Fact]
    public async Task A_change_keeps_why_nobody_was_called()
    {
        await using var store = await Harness.OpenAsync();
        AlarmChange[] changes = [Change("raised", 0), Change("suppressed", 1) with { QuietBecause = "maintenance mw-1" }];
        await store.Alarms.SaveAlarmsAsync([], changes, Token);
        Assert.Equal(changes, await store.Alarms.ReadAlarmChangesAsync(Start, Start.AddHours(1), null, Token));
    }

    [Fact]
    public async Task A_purged_alarm_is_gone_its_changes_stay_and_an_active_one_is_never_purged()
    {
        await using var store = await Harness.OpenAsync();
        var active = Alarm("active");
        await store.Alarms.SaveAlarmsAsync([Alarm("old") with { IsCleared = true }, active], [Change("raised", 0), Change("cleared", 1)], Token);

        AlarmChange[] purged = [Change("purged", 2) with { Key = Alarm("old").Key }, Change("purged", 2) with { Key = active.Key }];
        await store.Alarms.PurgeAlarmsAsync(purged, Token);

        Assert.Equal([active], await store.Alarms.LoadAlarmsAsync(Token));
        Assert.Equal(4, (await store.Alarms.ReadAlarmChangesAsync(Start, Start.AddHours(1), null, Token)).Count);
    }

    [Fact]
    public async Task Windows_come_back_by_begin_as_they_now_are_and_those_over_long_ago_do_not()
    {
        await using var store = await Harness.OpenAsync();
        var windows = (IMaintenanceStore)store.Owner;
        MaintenanceWindow[] written =
        [
            Window("mw-old", -100, -99),
            Window("mw-b", 1, 5),
            Window("mw-a", 1, 2),
            Window("mw-c", 0, 9) with { EndedAt = Start.AddHours(3), EndedBy = "Åse" },
        ];
        foreach (var window in written)
        {
            await windows.SaveWindowAsync(window with { EndedAt = null, EndedBy = "" }, Token);
            await windows.SaveWindowAsync(window, Token);
        }

        Assert.Equal([written[3], written[2], written[1]], await windows.ReadWindowsAsync(Start, Token));
    }

    private static MaintenanceWindow Window(string id, int from, int to) =>
        new(id, "pole/quay-03", Start.AddHours(from), Start.AddHours(to), "Åse", "new 'gland'", Start.AddDays(-1));

    private static Alarm Alarm(string resource) => new(
        new AlarmKey(resource, "headroom-low"), AlarmSeverity.Minor, false, Start, Start, "4 W left", "steps", OperatorState.None, "", "");

    private static AlarmChange Change(string kind, int minute) => new(Low, Start.AddMinutes(minute), kind, AlarmSeverity.Minor, "", "4 W left");
}
