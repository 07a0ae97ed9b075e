using PoeWatch.Domain.Alarms;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What every alarm store does. Each adapter inherits it.</summary>
public abstract class AlarmStoreSuite : StoreSuite
{
    private static readonly DateTimeOffset Start = SampleReadings.Start;
    private static readonly AlarmKey Low = new("pole/quay-03", "headroom-low");
    private static readonly AlarmKey Quiet = new("switch/quay-west", "switch-silent");

    [Fact]
    public async Task Alarms_come_back_exactly_with_every_severity_and_operator_state()
    {
        await using var store = await Harness.OpenAsync();
        var alarms =
            from severity in Enum.GetValues<AlarmSeverity>()
            from state in Enum.GetValues<OperatorState>()
            select Raised(new AlarmKey($"pole/{severity}-{state}", "headroom-low")) with
            {
                Severity = severity,
                OperatorState = state,
                IsCleared = state == OperatorState.Closed,
                OperatorName = "Åse",
                OperatorText = "seen; 'quoted' \"twice\"",
            };
        var expected = alarms.ToList();

        await store.Alarms.SaveAlarmsAsync(expected, [], Token);

        Assert.Equal(expected.OrderBy(a => a.Key), (await store.Alarms.LoadAlarmsAsync(Token)).OrderBy(a => a.Key));
    }

    [Fact]
    public async Task An_alarm_saved_again_is_the_same_alarm_as_it_now_is()
    {
        await using var store = await Harness.OpenAsync();
        var cleared = Raised(Low) with { IsCleared = true, ChangedAt = Start.AddMinutes(9), Text = "4.2 W left", OperatorState = OperatorState.Ack };

        await store.Alarms.SaveAlarmsAsync([Raised(Low), Raised(Quiet)], [], Token);
        await store.Alarms.SaveAlarmsAsync([cleared], [], Token);

        Assert.Equal([cleared, Raised(Quiet)], (await store.Alarms.LoadAlarmsAsync(Token)).OrderBy(a => a.Key));
    }

    [Fact]
    public async Task Changes_are_appended_and_read_back_in_time_order_by_period_and_key()
    {
        await using var store = await Harness.OpenAsync();
        var changes = Enumerable.Range(0, 12).Select(n => Change(n % 3 == 0 ? Quiet : Low, n)).ToList();

        await store.Alarms.SaveAlarmsAsync([Raised(Low)], changes[6..], Token);
        await store.Alarms.SaveAlarmsAsync([], changes[..6], Token);

        Assert.Equal(changes, await store.Alarms.ReadAlarmChangesAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, null, Token));
        Assert.Equal(changes[3..7], await store.Alarms.ReadAlarmChangesAsync(Start.AddMinutes(3), Start.AddMinutes(7), null, Token));
        Assert.Equal(
            changes.Where(c => c.Key == Quiet),
            await store.Alarms.ReadAlarmChangesAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Quiet, Token));
    }

    [Fact]
    public async Task Changes_of_one_moment_keep_their_order()
    {
        await using var store = await Harness.OpenAsync();
        var changes = new[] { "raised", "severity-changed", "ack", "cleared" }.Select(kind => Change(Low, 1) with { Kind = kind }).ToList();

        await store.Alarms.SaveAlarmsAsync([], changes, Token);

        Assert.Equal(changes, await store.Alarms.ReadAlarmChangesAsync(Start, Start.AddHours(1), Low, Token));
    }

    [Fact]
    public async Task A_repeated_save_adds_no_change_twice()
    {
        await using var store = await Harness.OpenAsync();
        var changes = new[] { Change(Low, 1), Change(Low, 1) with { Text = "another word" } };

        await store.Alarms.SaveAlarmsAsync([Raised(Low)], changes, Token);
        await store.Alarms.SaveAlarmsAsync([Raised(Low)], changes, Token);

        Assert.Equal(changes, await store.Alarms.ReadAlarmChangesAsync(Start, Start.AddHours(1), null, Token));
    }

    [Fact]
    public async Task Alarms_and_changes_are_written_together_or_not_at_all()
    {
        await using var store = await Harness.OpenAsync();
        await Harness.ExecuteAsync("DROP TABLE alarm_change");

        await Assert.ThrowsAsync<Monitoring.Abstractions.StoreException>(
            () => store.Alarms.SaveAlarmsAsync([Raised(Low)], [Change(Low, 1)], Token));

        Assert.Empty(await store.Alarms.LoadAlarmsAsync(Token));
    }

    [Fact]
    public async Task Alarms_and_changes_are_there_after_the_store_is_opened_again()
    {
        await using (var first = await Harness.OpenAsync())
        {
            await first.Alarms.SaveAlarmsAsync([Raised(Low)], [Change(Low, 1)], Token);
        }

        await using var second = await Harness.OpenAsync();

        Assert.Equal([Raised(Low)], await second.Alarms.LoadAlarmsAsync(Token));
        Assert.Equal([Change(Low, 1)], await second.Alarms.ReadAlarmChangesAsync(Start, Start.AddHours(1), null, Token));
    }

    private static Alarm Raised(AlarmKey key) => new(
        key, AlarmSeverity.Major, false, Start, Start.AddSeconds(30), "9.1 W left (measured), at least 15 W asked for", "Look at the load.", OperatorState.None, "", "");

    private static AlarmChange Change(AlarmKey key, int minute) =>
        new(key, Start.AddMinutes(minute), "raised", AlarmSeverity.Major, "", $"minute {minute}");
}
