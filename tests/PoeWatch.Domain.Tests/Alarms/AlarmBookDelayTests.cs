using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>On-delay, off-delay and deadband along timelines.</summary>
public sealed class AlarmBookDelayTests
{
    private static readonly AlarmTimings Undelayed = new() { OnDelay = TimeSpan.Zero, OffDelay = TimeSpan.Zero };

    // OPC 10000-9 (Alarms and Conditions), B.1.5, on-delay: what is shorter than the delay raises nothing.
    [Fact]
    public void A_spike_of_10_s_under_an_on_delay_of_30_s_raises_nothing()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(9);
        timeline.Gone(10);
        timeline.Gone(40);
        timeline.Gone(600);
        Assert.Empty(timeline.Changes);
        Assert.Null(timeline.Alarm);
    }

    [Fact]
    public void A_condition_is_raised_once_when_it_has_held_for_the_on_delay()
    {
        var timeline = new BookTimeline();
        for (var second = 0; second <= 300; second += 5)
        {
            timeline.Holds(second);
        }

        var raised = Assert.Single(timeline.Changes);
        Assert.Equal((AlarmChangeKinds.Raised, BookTimeline.Start.AddSeconds(30)), (raised.Kind, raised.At));
        Assert.Equal(AlarmSeverity.Major, timeline.Alarm!.Severity);
        Assert.Equal(OperatorState.None, timeline.Alarm.OperatorState);
    }

    [Fact]
    public void An_interruption_starts_the_on_delay_anew()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Gone(20);
        timeline.Holds(25);
        timeline.Holds(54);
        Assert.Empty(timeline.Changes);
        timeline.Holds(55);
        Assert.Equal(["raised"], timeline.Kinds);
    }

    [Fact]
    public void An_alarm_clears_when_its_condition_has_been_gone_for_the_off_delay()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Gone(40);
        timeline.Gone(99);
        Assert.False(timeline.Alarm!.IsCleared);
        timeline.Gone(100);
        Assert.True(timeline.Alarm!.IsCleared);
        Assert.Equal(["raised", "cleared"], timeline.Kinds);
        Assert.Equal(BookTimeline.Start.AddSeconds(100), timeline.Alarm.ChangedAt);
    }

    // Deadband as EEMUA 191 and ISA-18.2 10.5.5.2 ask for it; figures: a limit of 80 of 100 with a deadband of 2, so as headroom a floor of 20.
    [Fact]
    public void With_a_deadband_of_2_an_alarm_at_81_clears_at_77_9_only()
    {
        var timeline = new BookTimeline(Undelayed with { DeadbandWatts = 2, DeadbandShare = default });
        foreach (var (second, load) in new[] { (0, 81.0), (10, 79.0), (20, 78.5) })
        {
            timeline.Value(second, 100 - load, 20);
            Assert.False(timeline.Alarm!.IsCleared);
        }

        timeline.Value(30, 100 - 77.9, 20);
        Assert.True(timeline.Alarm!.IsCleared);
    }

    // RFC 3621, pethMainPseUsageThreshold: one notice on the way up over the threshold and one on the way down.
    [Fact]
    public void Eighty_one_over_a_threshold_of_80_and_back_to_79_is_one_raise_and_one_clear()
    {
        var timeline = new BookTimeline(Undelayed with { DeadbandWatts = 0, DeadbandShare = default });
        timeline.Value(0, 100 - 79, 20);
        timeline.Value(10, 100 - 81, 20);
        timeline.Value(20, 100 - 81, 20);
        timeline.Value(30, 100 - 79, 20);
        timeline.Value(40, 100 - 79, 20);
        Assert.Equal(["raised", "cleared"], timeline.Kinds);
    }

    [Theory]
    [InlineData(10, 11)] // 2 % of 10 W is less than 1 W
    [InlineData(200, 204)] // 2 % of 200 W is more
    [InlineData(0, 1)]
    public void The_default_deadband_is_2_percent_of_the_floor_or_1_W(double floor, double clearsAt) =>
        Assert.Equal(clearsAt, new AlarmTimings().ClearsAt(floor), 9);

    [Fact]
    public void A_value_that_swings_about_its_floor_raises_one_alarm()
    {
        var timeline = new BookTimeline();
        for (var second = 0; second <= 3600; second += 10)
        {
            timeline.Value(second, second / 10 % 2 == 0 ? 4.6 : 5.4, 5);
        }

        // Before it is raised the swing interrupts the on-delay; a chattering value is caught by the deadband once it holds for 30 s.
        Assert.Empty(timeline.Changes);
        timeline.Value(3610, 4.6, 5);
        timeline.Value(3640, 4.6, 5);
        for (var second = 3650; second <= 7200; second += 10)
        {
            timeline.Value(second, second / 10 % 2 == 0 ? 4.6 : 5.4, 5);
        }

        Assert.Equal(["raised"], timeline.Kinds);
    }

    [Fact]
    public void A_condition_may_ask_for_a_longer_on_delay()
    {
        var timeline = new BookTimeline();
        var condition = AlarmCondition.Plain(BookTimeline.Key, AlarmSeverity.Major, "text", "steps") with { OnDelay = TimeSpan.FromSeconds(70) };
        timeline.Apply(0, [condition]);
        timeline.Apply(69, [condition]);
        Assert.Empty(timeline.Changes);
        timeline.Apply(70, [condition]);
        Assert.Equal(["raised"], timeline.Kinds);
    }

    [Fact]
    public void A_deadband_is_not_taken_as_a_condition_of_its_own()
    {
        var timeline = new BookTimeline();
        timeline.Value(0, 5.5, 5);
        timeline.Value(3600, 5.5, 5);
        Assert.Empty(timeline.Changes);
    }

    [Fact]
    public void The_defaults_are_30_s_on_and_60_s_off()
    {
        var timings = new AlarmTimings();
        Assert.Equal((30, 60), (timings.OnDelay.TotalSeconds, timings.OffDelay.TotalSeconds));
        Assert.Equal(Ratio.FromPercent(2), timings.DeadbandShare);
    }
}
