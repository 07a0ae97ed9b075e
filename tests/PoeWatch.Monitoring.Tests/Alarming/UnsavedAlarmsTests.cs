using PoeWatch.Domain.Alarms;
using PoeWatch.Monitoring.Alarming;

namespace PoeWatch.Monitoring.Tests.Alarming;

public class UnsavedAlarmsTests
{
    private static readonly DateTimeOffset Noon = new(2026, 11, 24, 12, 0, 0, TimeSpan.Zero);
    private static readonly AlarmKey Key = new("pole/p1", "headroom-low");

    [Fact]
    public void What_could_not_be_written_goes_before_what_came_since()
    {
        var unsaved = new UnsavedAlarms(10);
        unsaved.Add([Alarm("first")], [Change("first")]);
        UnsavedBatch failed = unsaved.TakeAll();
        unsaved.Add([Alarm("second")], [Change("second")]);

        unsaved.PutBack(failed);
        UnsavedBatch all = unsaved.TakeAll();

        Assert.Equal(["first", "second"], all.Changes.Select(c => c.Text));
        Assert.Equal("second", all.Alarms.Single().Text);
        Assert.True(unsaved.IsEmpty);
    }

    [Fact]
    public void Beyond_the_bound_the_oldest_changes_go_and_are_counted_but_no_alarm()
    {
        var unsaved = new UnsavedAlarms(2);
        unsaved.Add([Alarm("now")], [Change("1"), Change("2"), Change("3")]);

        UnsavedBatch all = unsaved.TakeAll();

        Assert.Equal(["2", "3"], all.Changes.Select(c => c.Text));
        Assert.Single(all.Alarms);
        Assert.Equal(1, unsaved.DroppedChanges);
    }

    private static Alarm Alarm(string text) => new(Key, AlarmSeverity.Minor, false, Noon, Noon, text, "", OperatorState.None, "", "");

    private static AlarmChange Change(string text) => new(Key, Noon, "raised", AlarmSeverity.Minor, "", text);
}
