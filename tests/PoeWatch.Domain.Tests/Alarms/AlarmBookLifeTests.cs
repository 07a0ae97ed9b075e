using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>Severities, silence, restart, clock steps and operator states.</summary>
public sealed class AlarmBookLifeTests
{
    [Fact]
    public void A_falling_value_goes_from_minor_to_major_and_back_with_its_delays()
    {
        var timeline = new BookTimeline();
        timeline.Levels(0, 4);
        timeline.Levels(30, 4);
        timeline.Levels(40, 1);
        timeline.Levels(69, 1);
        Assert.Equal(AlarmSeverity.Minor, timeline.Alarm!.Severity);
        timeline.Levels(70, 1);
        Assert.Equal(AlarmSeverity.Major, timeline.Alarm!.Severity);
        timeline.Levels(80, 2.9); // inside the deadband of the late floor
        timeline.Levels(200, 2.9);
        Assert.Equal(AlarmSeverity.Major, timeline.Alarm!.Severity);
        timeline.Levels(210, 3.5);
        timeline.Levels(270, 3.5);
        Assert.Equal(AlarmSeverity.Minor, timeline.Alarm!.Severity);
        timeline.Levels(280, 9);
        timeline.Levels(340, 9);
        Assert.Equal(["raised", "severity-changed", "severity-changed", "cleared"], timeline.Kinds);
    }

    [Fact]
    public void A_value_that_falls_through_both_floors_at_once_is_raised_as_major()
    {
        var timeline = new BookTimeline();
        timeline.Levels(0, 1);
        timeline.Levels(30, 1);
        var raised = Assert.Single(timeline.Changes);
        Assert.Equal((AlarmChangeKinds.Raised, AlarmSeverity.Major), (raised.Kind, raised.Severity));
    }

    [Fact]
    public void The_most_severe_of_several_conditions_of_one_key_counts()
    {
        var timeline = new BookTimeline();
        AlarmCondition[] both =
        [
            AlarmCondition.Plain(BookTimeline.Key, AlarmSeverity.Critical, "worst", "steps"),
            AlarmCondition.Plain(BookTimeline.Key, AlarmSeverity.Warning, "least", "steps"),
        ];
        timeline.Apply(0, both);
        timeline.Apply(30, both);
        Assert.Equal((AlarmSeverity.Critical, "worst"), (timeline.Alarm!.Severity, timeline.Alarm.Text));
        Assert.Single(timeline.Book.Alarms);
    }

    [Fact]
    public void An_unknown_resource_neither_raises_nor_clears()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Gone(20, isKnown: false);
        timeline.Gone(3600, isKnown: false);
        Assert.Empty(timeline.Changes);
        timeline.Holds(3610);
        timeline.Holds(3640);
        timeline.Gone(3650, isKnown: false);
        timeline.Gone(9000, isKnown: false);
        Assert.False(timeline.Alarm!.IsCleared);
        Assert.Equal(["raised"], timeline.Kinds);
    }

    [Fact]
    public void Time_in_which_nothing_is_known_does_not_count_and_does_not_start_the_delay_anew()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(20);
        timeline.Gone(25, isKnown: false);
        timeline.Gone(3600, isKnown: false);
        timeline.Holds(3605); // from 20 to here nothing is known for sure
        timeline.Holds(3614);
        Assert.Empty(timeline.Changes);
        timeline.Holds(3615);
        Assert.Equal(["raised"], timeline.Kinds);

        timeline.Gone(3620);
        timeline.Gone(3660);
        timeline.Gone(3665, isKnown: false);
        timeline.Gone(9000, isKnown: false);
        timeline.Gone(9005);
        timeline.Gone(9024);
        Assert.False(timeline.Alarm!.IsCleared);
        timeline.Gone(9025);
        Assert.True(timeline.Alarm!.IsCleared);
    }

    [Fact]
    public void A_restart_raises_nothing_again_and_loses_nothing()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Operator(35, OperatorState.Ack);
        timeline.Restart();
        timeline.Gone(40, isKnown: false); // nothing polled yet
        timeline.Holds(50);
        timeline.Holds(500);
        Assert.Equal(["raised", "ack"], timeline.Kinds);
        Assert.Equal((OperatorState.Ack, "Ines"), (timeline.Alarm!.OperatorState, timeline.Alarm.OperatorName));
        timeline.Gone(510);
        timeline.Gone(570);
        Assert.True(timeline.Alarm!.IsCleared);
    }

    [Fact]
    public void A_restart_starts_an_on_delay_under_way_anew()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(29);
        timeline.Restart();
        timeline.Holds(31);
        timeline.Holds(60);
        Assert.Empty(timeline.Changes);
        timeline.Holds(61);
        Assert.Equal(["raised"], timeline.Kinds);
    }

    [Fact]
    public void A_step_of_the_clock_changes_no_delay()
    {
        foreach (var hours in new[] { -1, 1 })
        {
            var timeline = new BookTimeline();
            timeline.Holds(0);
            timeline.ClockStep = TimeSpan.FromHours(hours);
            timeline.Holds(10);
            timeline.Holds(29);
            Assert.Empty(timeline.Changes);
            timeline.Holds(30);
            Assert.Equal(["raised"], timeline.Kinds);
            timeline.Gone(40);
            timeline.ClockStep = TimeSpan.Zero;
            timeline.Gone(99);
            Assert.False(timeline.Alarm!.IsCleared);
            timeline.Gone(100);
            Assert.True(timeline.Alarm!.IsCleared);
        }
    }

    // RFC 8632: clearing is done by the instrument and closing by a person, neither depends on the other.
    [Fact]
    public void Closing_does_not_clear_and_clearing_does_not_close()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Operator(40, OperatorState.Closed);
        Assert.False(timeline.Alarm!.IsCleared);
        timeline.Gone(50);
        timeline.Gone(110);
        Assert.True(timeline.Alarm!.IsCleared);
        Assert.Equal(OperatorState.Closed, timeline.Alarm.OperatorState);
    }

    [Theory]
    [InlineData(OperatorState.Ack, OperatorState.None)]
    [InlineData(OperatorState.Closed, OperatorState.None)]
    [InlineData(OperatorState.Shelved, OperatorState.Shelved)]
    public void A_raise_after_clearing_forgets_what_a_person_said_save_for_a_shelf(OperatorState before, OperatorState after)
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Operator(40, before);
        timeline.Gone(50);
        timeline.Gone(110);
        timeline.Holds(200);
        timeline.Holds(230);
        Assert.Equal(after, timeline.Alarm!.OperatorState);
        Assert.Equal(after == OperatorState.None ? "" : "Ines", timeline.Alarm.OperatorName);
        Assert.Equal(BookTimeline.Start.AddSeconds(230), timeline.Alarm.RaisedAt);
        Assert.Single(timeline.Book.Alarms);
    }

    [Fact]
    public void A_shelved_alarm_takes_un_shelving_only_and_no_other_alarm_does()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(30);
        Assert.Equal(OperatorOutcome.NotAllowed, Outcome(OperatorState.UnShelved));
        timeline.Operator(40, OperatorState.Shelved);
        Assert.Equal(OperatorOutcome.NotAllowed, Outcome(OperatorState.Ack));
        timeline.Operator(50, OperatorState.UnShelved);
        Assert.Equal(OperatorOutcome.Done, Outcome(OperatorState.Ack));
        Assert.Equal(["raised", "shelved", "un-shelved"], timeline.Kinds);

        OperatorOutcome Outcome(OperatorState state) =>
            timeline.Book.SetOperatorState(BookTimeline.Start, BookTimeline.Key, state, "Ines", "").Outcome;
    }

    [Fact]
    public void A_word_on_an_alarm_that_is_not_there_changes_nothing()
    {
        var book = AlarmBook.Empty(new AlarmTimings());
        var step = book.SetOperatorState(BookTimeline.Start, BookTimeline.Key, OperatorState.Ack, "Ines", "");
        Assert.Equal(OperatorOutcome.NoSuchAlarm, step.Outcome);
        Assert.Same(book, step.Book);
        Assert.Null(step.Change);
    }

    // ISA-18.2 calls an alarm that is active for more than 24 h by a word of its own; here: standing.
    [Fact]
    public void An_alarm_stands_when_it_is_active_for_more_than_24_hours()
    {
        var timeline = new BookTimeline(new AlarmTimings { OnDelay = TimeSpan.Zero });
        timeline.Holds(0);
        Assert.False(timeline.Alarm!.IsStanding(BookTimeline.Start.AddHours(24)));
        Assert.True(timeline.Alarm!.IsStanding(BookTimeline.Start.AddHours(24).AddMinutes(1)));
    }
}
