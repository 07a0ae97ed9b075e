using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>Rules that need more than the newest readings, each along a timeline.</summary>
public sealed class MemoryRuleTests
{
    private static MemoryStory Story => new(Harbour.Design().Build());

    [Fact]
    public void Three_overloads_in_an_hour_are_one_alarm_that_clears_an_hour_and_its_off_delay_later()
    {
        var story = Story;
        story.Step(0);
        story.Step(300, west: MemoryStory.Counts(overload: 1));
        story.Step(600, west: MemoryStory.Counts(overload: 1));
        story.Step(900);
        Assert.Empty(story.Changes);
        story.Step(1200, west: MemoryStory.Counts(shorts: 1));
        story.Step(1220);
        Assert.Equal(["fault-counts-rising raised"], story.Told);
        Assert.Equal(AlarmSeverity.Minor, story.Changes[0].Severity);
        Assert.Contains("2 overloads, 1 shorts and 0 lost keep-alives", story.Changes[0].Text, StringComparison.Ordinal);
        story.Play(1230, 3890, 10);
        Assert.Single(story.Changes);
        // The first count is an hour old at 3900, and the 10 min of the off-delay run from then.
        story.Play(3900, 4490, 10);
        Assert.Single(story.Changes);
        story.Step(4500);
        Assert.Equal(["fault-counts-rising raised", "fault-counts-rising cleared"], story.Told);
    }

    [Fact]
    public void A_device_that_is_unplugged_once_is_no_alarm_of_counts() =>
        Assert.DoesNotContain(Story.Step(0, west: MemoryStory.Counts(absent: 5)), c => c.Key.Type == AlarmTypes.FaultCountsRising);

    [Fact]
    public void A_port_that_goes_off_and_on_three_times_in_an_hour_flaps_once()
    {
        var story = Story;
        for (var i = 0; i <= 8; i++)
        {
            story.Step(i * 20, i % 2 == 0 ? null : MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1")));
        }

        Assert.Equal(["port-flapping raised"], story.Told);
        story.Play(200, 5000, 20);
        Assert.Equal(["port-flapping raised", "port-flapping cleared"], story.Told);
    }

    [Fact]
    public void A_restart_of_the_switch_is_no_flapping()
    {
        var story = Story;
        for (var i = 0; i <= 12; i++)
        {
            story.Step(i * 20, i % 2 == 0 ? null : MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1")), i % 4 == 0 ? MemoryStory.Changed(AgentChangeKind.Restarted) : null);
        }

        Assert.DoesNotContain(story.Changes, c => c.Key.Type == AlarmTypes.PortFlapping);
    }

    [Fact]
    public void A_port_that_feeds_while_its_schedule_says_off_is_told_after_five_minutes()
    {
        var story = new MemoryStory(Harbour.Design().Schedule("noon-off", new DailyWindow(new TimeOnly(11, 0), new TimeOnly(13, 0)), "quay-west:1/1").Build());
        story.Play(0, 290, 10);
        Assert.Empty(story.Changes);
        story.Step(300);
        Assert.Equal(["schedule-not-kept raised"], story.Told);
        Assert.Contains("schedule noon-off", story.Changes[0].Text, StringComparison.Ordinal);
        story.Play(310, 400, 10, MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1", PortState.Disabled)));
        Assert.Equal("schedule-not-kept cleared", story.Told[^1]);
    }

    [Fact]
    public void A_group_that_is_off_is_one_alarm_and_its_dark_ports_hang_under_it()
    {
        var story = Story;
        var dark = MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1"), SnapshotBuilder.Off("quay-west:1/2"));
        var off = MemoryStory.Group(new GroupReading(1, Power.FromWatts(200), Power.Zero, Provenance.Measured, IsOn: false));
        story.Play(0, 60, 10, at => dark(at).NotAnswered("pts-2"), off);
        Assert.Equal(["supply-lost raised"], story.Told);
        Assert.Equal(AlarmSeverity.Critical, story.Changes[0].Severity);
        Assert.Contains("(2): port quay-west:1/1 (pole pole-1), port quay-west:1/2", story.Changes[0].Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(200, false)]
    [InlineData(197, false)]
    [InlineData(100, true)]
    public void A_budget_that_the_switch_reports_smaller_than_designed_is_a_lost_supply(double reported, bool isTold)
    {
        var conditions = Story.Step(0, west: MemoryStory.Group(new GroupReading(1, Power.FromWatts(reported), Power.FromWatts(38), Provenance.Measured, true)));
        Assert.Equal(isTold ? [AlarmSeverity.Major] : [], conditions.Where(c => c.Key.Type == AlarmTypes.SupplyLost).Select(c => c.Severity));
    }

    [Fact]
    public void A_port_that_is_refused_power_is_an_alarm_of_its_budget_and_not_of_the_port()
    {
        var story = Story;
        var dark = MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1"));
        story.Step(0, dark, MemoryStory.Counts(denied: 3));
        story.Play(10, 120, 10, dark);
        Assert.Equal(["budget-reached raised"], story.Told);
        Assert.Contains("port quay-west:1/1 (pole pole-1)", story.Changes[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_port_that_is_dark_while_its_switch_starts_waits_five_minutes()
    {
        var story = Story;
        var dark = MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1"));
        for (var second = 0; second < 290; second += 10)
        {
            var upTime = TimeSpan.FromSeconds(second);
            story.Step(second, dark, reading => reading with { UpTime = upTime });
        }

        Assert.Empty(story.Changes);
        story.Step(300, dark, reading => reading with { UpTime = TimeSpan.FromSeconds(300) });
        Assert.Equal(["port-dark raised"], story.Told);
    }

    [Fact]
    public void Too_little_headroom_for_too_much_draw_is_one_alarm()
    {
        var conditions = Story.Step(0, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 24)));
        Assert.Equal([AlarmTypes.HeadroomLow], conditions.Where(c => c.Value < c.Floor).Select(c => c.Key.Type));
    }

    [Theory]
    [InlineData(5, 9, true)] // up, within the design
    [InlineData(9, 5, true)] // down
    [InlineData(8, 8.9, false)] // within 10 % and 1 W
    [InlineData(5, 16, false)] // above the design: that alarm says it
    public void A_level_that_a_week_did_not_have_is_a_step(double before, double after, bool isStep)
    {
        var story = Story;
        story.Recall(5, (_, _) => before);
        story.Play(0, 2700, 30, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", after)));
        Assert.DoesNotContain(story.Changes, c => c.Key.Type == AlarmTypes.DrawStep);
        story.Play(2730, 3660, 30, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", after)));
        Assert.Equal(isStep, story.Changes.Exists(c => c.Key.Type == AlarmTypes.DrawStep));
    }

    [Fact]
    public void Two_days_are_too_few_for_a_step()
    {
        var story = Story;
        story.Recall(2, (_, _) => 5);
        story.Play(0, 4000, 30, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 9)));
        Assert.DoesNotContain(story.Conditions, c => c.Key.Type == AlarmTypes.DrawStep);
    }

    [Fact]
    public void A_slow_rise_of_four_weeks_is_a_creep_and_a_single_step_or_noise_is_none()
    {
        Assert.Equal([AlarmTypes.DrawCreep], Slow(day => 5 + (0.05 * day)));
        Assert.Empty(Slow(day => day < 14 ? 5 : 7));
        Assert.Empty(Slow(day => 5 + (0.01 * day))); // 0.3 W in four weeks
        Assert.Empty(Slow(day => 7 - (0.05 * day)));

        static List<string> Slow(Func<int, double> level)
        {
            var random = new Random(17);
            var story = Story;
            story.Recall(28, (day, quarter) => level(day) + (random.NextDouble() * 0.2) + (quarter is > 80 or < 16 ? 2 : 0));
            return [.. story.Step(0, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 7))).Where(IsSlow).Select(c => c.Key.Type)];
        }

        static bool IsSlow(AlarmCondition c) => c.Key.Type is AlarmTypes.DrawCreep or AlarmTypes.HeadroomEnds;
    }

    [Fact]
    public void A_steep_creep_says_on_which_day_the_headroom_ends()
    {
        var story = Story;
        story.Recall(28, (day, _) => 1 + (0.3 * day));
        var condition = Assert.Single(story.Step(0, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 9.4))), c => c.Key.Type == AlarmTypes.HeadroomEnds);
        // The days before stayed at 1 + 0.3 · 27 = 9.1 W; no demand is remembered of them, so nothing is let rise for free. Each day takes 0.3 W of the headroom.
        var days = story.Site.CableRuns["quay-west:1/1"].Headroom.Watts.Watts / 0.3;
        Assert.Equal(days, condition.Value, 3);
        Assert.Contains(Harbour.Noon.AddDays(days).ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture), condition.Text, StringComparison.Ordinal);
        Assert.Contains("2.10 W a week (2.10 to 2.10", condition.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_poll_that_takes_longer_than_its_period_is_told_after_two_minutes()
    {
        var story = Story;
        story.Play(0, 110, 10, west: reading => reading with { Took = TimeSpan.FromMinutes(5) });
        Assert.Empty(story.Changes);
        story.Step(120, west: reading => reading with { Took = TimeSpan.FromMinutes(5) });
        Assert.Equal(["poll-overrun raised"], story.Told);
    }

    [Fact]
    public void A_step_of_the_machine_s_clock_is_told_for_an_hour()
    {
        var story = Story;
        story.Step(0);
        story.Memory.NoteClockStep(TimeSpan.FromSeconds(-90), new AlarmMoment(Harbour.Noon, TimeSpan.FromSeconds(1e6)));
        story.Step(10);
        Assert.Equal(["clock-off raised"], story.Told);
        Assert.Contains("stepped by -90.0 s", story.Changes[0].Text, StringComparison.Ordinal);
        story.Step(3590);
        Assert.Single(story.Changes);
        story.Step(3600);
        Assert.Equal("clock-off cleared", story.Told[^1]);
    }

    // Deadband of 2 °C, on-delay 120 s, off-delay 300 s.
    [Fact]
    public void A_hot_cabinet_is_minor_from_60_major_from_70_and_clears_below_58()
    {
        var plan = ConditionPlan.Nothing with { Thermometers = [new Thermometer("t-1", "quay-west", 7, null, "quay-west-cabinet")] };
        var story = new MemoryStory(Harbour.Design().Conditions(plan).Build());
        Heat(0, 120, 61);
        Assert.Equal(["cabinet-hot raised"], story.Told);
        Assert.Equal(("cabinet/quay-west-cabinet:t-1", AlarmSeverity.Minor), (story.Changes[0].Key.Resource, story.Changes[0].Severity));
        Heat(130, 600, 58.5);
        Assert.Single(story.Changes);
        Heat(610, 730, 71);
        Assert.Equal((AlarmChangeKinds.SeverityChanged, AlarmSeverity.Major), (story.Changes[^1].Kind, story.Changes[^1].Severity));
        Heat(740, 1100, 57.9);
        Assert.Equal("cabinet-hot cleared", story.Told[^1]);

        void Heat(int from, int to, double celsius)
        {
            for (var second = from; second <= to; second += 10)
            {
                var at = Harbour.Noon.AddSeconds(second);
                story.Step(second, null, null, new ThermometerReading("t-1", Temperature.FromCelsius(celsius), at, at.AddMinutes(6), ""));
            }
        }
    }

    [Fact]
    public void A_memory_forgets_what_a_design_does_not_have_and_is_bounded()
    {
        var story = Story;
        story.Recall(100, (_, _) => 5);
        var memory = story.Memory.Find(MemoryStory.West1)!;
        Assert.Equal(PortMemory.DaysKept, memory.Days.Count);
        story.Memory.Note(new DesignModelBuilder().Build(), Harbour.AsDesigned(Harbour.Noon).Build(), Harbour.Assess(new DesignModelBuilder().Build(), Harbour.AsDesigned(Harbour.Noon)), AlarmMoment.Of(Harbour.Noon));
        Assert.Null(story.Memory.Find(MemoryStory.West1));
    }
}
