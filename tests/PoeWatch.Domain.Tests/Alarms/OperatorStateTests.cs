using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>
/// Operator states as RFC 8632 (YANG module ietf-alarms, 2019-09-11) names them: a person may write none, ack and closed at any time; a shelved alarm
/// stands in a list of its own and comes back by un-shelving. Clearing is the instrument's and touches none of them.
/// </summary>
public sealed class OperatorStateTests
{
    private static readonly DateTimeOffset Now = BookTimeline.Start.AddSeconds(100);

    public static TheoryData<OperatorState, OperatorState, bool> Transitions()
    {
        OperatorState[] all = [OperatorState.None, OperatorState.Ack, OperatorState.Closed, OperatorState.Shelved, OperatorState.UnShelved];
        var table = new TheoryData<OperatorState, OperatorState, bool>();
        foreach (var from in all)
        {
            foreach (var to in all)
            {
                table.Add(from, to, from == OperatorState.Shelved ? to == OperatorState.UnShelved : to != OperatorState.UnShelved);
            }
        }

        return table;
    }

    [Theory]
    [MemberData(nameof(Transitions))]
    public void Every_pair_of_states_is_taken_or_refused_whether_the_alarm_is_active_or_cleared(OperatorState from, OperatorState to, bool isTaken)
    {
        foreach (var isCleared in new[] { false, true })
        {
            var alarm = Alarm() with { OperatorState = from, IsCleared = isCleared, OperatorName = from == OperatorState.None ? "" : "Ines" };
            var step = AlarmBook.Restore([alarm], new AlarmTimings()).SetOperatorState(Now, alarm.Key, to, "Mira", "why");
            Assert.Equal(isTaken ? OperatorOutcome.Done : OperatorOutcome.NotAllowed, step.Outcome);
            Assert.Equal(isCleared, step.Alarm!.IsCleared);
            Assert.Equal(isTaken ? to : from, step.Alarm.OperatorState);
            if (isTaken)
            {
                Assert.Equal(("Mira", "why", Now), (step.Alarm.OperatorName, step.Alarm.OperatorText, step.Alarm.ChangedAt));
                Assert.Equal((AlarmChangeKinds.Of(to), Now, "Mira", "why"), (step.Change!.Kind, step.Change.At, step.Change.Who, step.Change.Text));
            }
        }
    }

    [Fact]
    public void A_shelf_ends_by_itself_and_says_so_once()
    {
        var timeline = Raised();
        timeline.Operator(40, OperatorState.Shelved, new AlarmShelf(BookTimeline.Start.AddSeconds(100), null));
        Assert.Equal("shelved", timeline.Alarm!.QuietBecause);
        timeline.Holds(99);
        Assert.Equal(OperatorState.Shelved, timeline.Alarm.OperatorState);
        timeline.Holds(100);
        timeline.Holds(110);
        Assert.Equal(["raised", "shelved", "un-shelved"], timeline.Kinds);
        Assert.Equal((OperatorState.UnShelved, "", "", false), (timeline.Alarm.OperatorState, timeline.Alarm.OperatorName, timeline.Alarm.QuietBecause, timeline.Alarm.IsCleared));
        Assert.Null(timeline.Alarm.Shelf);
    }

    [Fact]
    public void A_shelf_without_a_time_is_for_eight_hours_and_outlives_a_restart()
    {
        var timeline = Raised();
        timeline.Operator(40, OperatorState.Shelved);
        timeline.Restart();
        timeline.Holds(40 + (8 * 3600) - 1);
        Assert.Equal(OperatorState.Shelved, timeline.Alarm!.OperatorState);
        timeline.Holds(40 + (8 * 3600));
        Assert.Equal(OperatorState.UnShelved, timeline.Alarm!.OperatorState);
    }

    [Fact]
    public void What_happens_to_a_shelved_alarm_is_recorded_and_calls_nobody()
    {
        var timeline = Raised();
        timeline.Operator(40, OperatorState.Shelved, new AlarmShelf(BookTimeline.Start.AddHours(9), null));
        timeline.Gone(50);
        timeline.Gone(110);
        timeline.Holds(200);
        timeline.Holds(230);
        Assert.Equal(["raised", "shelved", "cleared", "raised"], timeline.Kinds);
        Assert.Equal(["", "shelved", "shelved", "shelved"], timeline.Changes.Select(c => c.QuietBecause));
    }

    [Fact]
    public void An_accepted_deviation_comes_back_when_its_date_is_over()
    {
        var timeline = Raised();
        timeline.Operator(40, OperatorState.Shelved, new AlarmShelf(BookTimeline.Start.AddDays(2), AlarmSeverity.Major));
        Assert.Equal(("accepted", "accepted"), (timeline.Kinds[^1], timeline.Alarm!.QuietBecause));
        timeline.Holds(86_400);
        Assert.Equal(2, timeline.Changes.Count);
        timeline.Holds(2 * 86_400);
        Assert.Equal("un-shelved", timeline.Kinds[^1]);
        Assert.Contains("accepted is over", timeline.Alarm!.OperatorText, StringComparison.Ordinal);
    }

    [Fact]
    public void An_accepted_deviation_comes_back_when_it_grows_more_severe()
    {
        var timeline = new BookTimeline();
        timeline.Levels(0, 4);
        timeline.Levels(30, 4);
        timeline.Operator(40, OperatorState.Shelved, new AlarmShelf(BookTimeline.Start.AddDays(90), AlarmSeverity.Minor));
        timeline.Levels(100, 4);
        Assert.Equal(OperatorState.Shelved, timeline.Alarm!.OperatorState);
        timeline.Levels(110, 1);
        timeline.Levels(140, 1);
        Assert.Equal(["raised", "accepted", "severity-changed", "un-shelved"], timeline.Kinds);
        Assert.Equal("It grew to major; the deviation was accepted up to minor.", timeline.Alarm!.OperatorText);
        Assert.Equal("", timeline.Alarm.QuietBecause);
    }

    [Fact]
    public void A_note_stands_among_the_changes_and_moves_nothing()
    {
        var book = AlarmBook.Restore([Alarm()], new AlarmTimings());
        var step = book.AddNote(Now, BookTimeline.Key, "Mira", "gland is cracked");
        Assert.Same(book, step.Book);
        Assert.Equal(("note", "Mira", "gland is cracked"), (step.Change!.Kind, step.Change.Who, step.Change.Text));
        Assert.Equal(OperatorOutcome.NoSuchAlarm, book.AddNote(Now, new AlarmKey("site", "none"), "Mira", "x").Outcome);
    }

    [Fact]
    public void A_cleared_alarm_leaves_the_list_after_30_days_unless_it_is_shelved_or_active()
    {
        Alarm[] alarms =
        [
            Alarm() with { IsCleared = true, ChangedAt = Now.AddDays(-30).AddSeconds(-1) },
            Alarm() with { Key = new("a", "younger"), IsCleared = true, ChangedAt = Now.AddDays(-30) },
            Alarm() with { Key = new("b", "shelved"), IsCleared = true, ChangedAt = Now.AddDays(-90), OperatorState = OperatorState.Shelved },
            Alarm() with { Key = new("c", "active"), ChangedAt = Now.AddDays(-90) },
        ];
        var step = AlarmBook.Restore(alarms, new AlarmTimings()).Purge(Now);
        Assert.Equal(["a", "b", "c"], step.Book.Alarms.Select(a => a.Key.Resource));
        var change = Assert.Single(step.Changes);
        Assert.Equal((BookTimeline.Key, "purged"), (change.Key, change.Kind));
    }

    private static BookTimeline Raised()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(30);
        return timeline;
    }

    private static Alarm Alarm() => new(
        BookTimeline.Key, AlarmSeverity.Major, false, BookTimeline.Start, BookTimeline.Start, "text", "steps", OperatorState.None, "", "");
}
