using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>What has one cause is one alarm, and what is over is none: each along a timeline. Found by a simulated year, told here by hand.</summary>
public sealed class OneCauseTests
{
    private static readonly Func<DateTimeOffset, SnapshotBuilder> s_dark = MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1"));

    private static MemoryStory Story => new(Harbour.Design().Build());

    [Fact]
    public void A_port_that_is_still_off_when_its_schedule_ends_is_given_a_poll_and_the_minutes_of_a_clock()
    {
        var design = Harbour.Design().Schedule("morning-off", new DailyWindow(new TimeOnly(8, 0), new TimeOnly(12, 0)), "quay-west:1/1").Build();
        var story = new MemoryStory(design);
        var wait = 300 + (int)design.Agents["quay-west"].PollPeriod.TotalSeconds;
        story.Play(0, wait - 10, 10, s_dark);
        Assert.Empty(story.Changes);
        story.Play(wait, wait + 10, 10, s_dark);
        Assert.Equal(["port-dark raised"], story.Told);
    }

    [Fact]
    public void Shorts_of_a_port_that_is_dark_for_them_are_told_with_it_and_not_once_more_when_it_is_back()
    {
        var story = Story;
        story.Step(0);
        story.Step(60, s_dark, MemoryStory.Counts(shorts: 40));
        story.Play(70, 600, 10, s_dark);
        Assert.Equal(["port-dark raised"], story.Told);
        Assert.Contains("40 shorts", story.Changes[0].Text, StringComparison.Ordinal);
        story.Play(610, 650, 10);
        // The counters are read some minutes after the port came back: what they rose by lies before it.
        story.Step(660, west: MemoryStory.Counts(shorts: 12));
        story.Play(670, 2000, 10);
        Assert.Equal(["port-dark raised", "port-dark cleared"], story.Told);
    }

    [Fact]
    public void A_port_that_is_dark_again_within_the_hour_is_waited_for_and_told_where_it_stays_dark()
    {
        var story = Story;
        story.Step(0);
        story.Play(10, 400, 10, s_dark);
        story.Play(410, 800, 10);
        Assert.Equal(["port-dark raised", "port-dark cleared"], story.Told);
        story.Play(810, 1700, 10, s_dark);
        Assert.Equal(2, story.Changes.Count);
        story.Play(1710, 1720, 10, s_dark);
        Assert.Equal("port-dark raised", story.Told[^1]);
    }

    [Fact]
    public void A_level_that_is_over_is_no_step()
    {
        var story = Story;
        story.Recall(5, (_, _) => 5);
        story.Play(0, 3590, 30, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 16)));
        story.Play(3600, 5400, 30, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 5)));
        Assert.DoesNotContain(story.Changes, c => c.Key.Type == AlarmTypes.DrawStep);
    }

    [Fact]
    public void Hours_without_a_device_are_no_level_of_the_port()
    {
        var story = Story;
        story.Recall(5, (_, _) => 5);
        story.Play(0, 8000, 60, s_dark);
        story.Play(8060, 20000, 60, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 5)));
        Assert.DoesNotContain(story.Changes, c => c.Key.Type == AlarmTypes.DrawStep);

        // And they make no day in which everything was normal before and after look low: a fall is told as before.
        story.Play(86400, 92000, 60, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 3)));
        Assert.Contains(story.Changes, c => c.Key.Type == AlarmTypes.DrawStep);
    }

    [Fact]
    public void Ports_that_a_lost_supply_leaves_without_power_hang_under_it()
    {
        var story = Story;
        var (less, all) = (Budget(20), Budget(200));
        story.Step(0, s_dark, reading => less(MemoryStory.Counts(denied: 1)(reading)));
        story.Play(10, 7200, 30, s_dark, less);
        Assert.Equal(["supply-lost raised"], story.Told);
        Assert.Contains("It refused power to port quay-west:1/1 (pole pole-1)", story.Changes[0].Text, StringComparison.Ordinal);
        story.Play(7230, 9000, 30, west: all);
        Assert.Equal(["supply-lost raised", "supply-lost cleared"], story.Told);

        static Func<SwitchReading, SwitchReading> Budget(double watts) =>
            MemoryStory.Group(new GroupReading(1, Power.FromWatts(watts), Power.FromWatts(18), Provenance.Measured, true));
    }

    [Fact]
    public void A_device_that_the_design_does_not_have_is_told_once()
    {
        var story = Story;
        var added = MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/7", 6));
        story.Play(0, 4 * 86400, 300);
        story.Play((4 * 86400) + 300, (4 * 86400) + 9000, 60, added);
        Assert.Equal(["port-unexpected raised"], story.Told);
    }

    [Fact]
    public void A_device_that_boots_may_draw_more_for_some_minutes()
    {
        var story = Story;
        var boots = MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 24));
        story.Step(0);
        story.Play(10, 20, 10, s_dark);
        story.Play(30, 200, 10, boots);
        Assert.Empty(story.Changes);

        // Three minutes and a poll of one minute after it was fed again it has booted.
        story.Play(210, 300, 10, boots);
        Assert.Equal(["headroom-low raised"], story.Told);
    }

    [Fact]
    public void A_plug_that_flaps_about_as_often_as_is_told_does_not_make_its_alarm_come_and_go()
    {
        var story = Story;
        for (var half = 0; half < 30; half++)
        {
            story.Play(half * 690, (half * 690) + 660, 30, half % 2 == 0 ? null : s_dark);
        }

        Assert.Single(story.Changes, c => c.Key.Type == AlarmTypes.PortFlapping);
    }
}
