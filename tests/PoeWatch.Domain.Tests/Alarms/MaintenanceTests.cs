using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Tests.Assessment;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>Maintenance windows: what they cover, and what becomes of alarms inside.</summary>
public sealed class MaintenanceTests
{
    [Theory]
    [InlineData("site", "switch/east", true)]
    [InlineData("switch/quay-west", "switch/quay-west", true)]
    [InlineData("switch/quay-west", "port/quay-west:1/9", true)]
    [InlineData("switch/quay-west", "group/quay-west:1", true)]
    [InlineData("switch/quay-west", "run/quay-west:1/1", true)]
    [InlineData("switch/quay-west", "switch/pts-2", true)] // it hangs on a run of the switch
    [InlineData("switch/quay-west", "run/inj-4", false)]
    [InlineData("pole/pole-1", "run/quay-west:1/1", true)]
    [InlineData("pole/pole-1", "port/quay-west:1/1", true)]
    [InlineData("pole/pole-1", "switch/quay-west", false)]
    [InlineData("pole/pole-1", "port/quay-west:1/2", false)]
    [InlineData("port/quay-west:2", "port/quay-west:1/2", true)]
    [InlineData("port/quay-west:2", "port/pts-2:1/1", true)]
    [InlineData("run/inj-4", "run/inj-4", true)]
    [InlineData("run/inj-4", "run/quay-west:1/1", false)]
    public void A_scope_covers_its_place_and_what_hangs_on_it(string scope, string resource, bool isCovered) =>
        Assert.Equal(isCovered, MaintenanceScope.Of(scope, Harbour.Design().Build())!.Covers(resource));

    [Theory]
    [InlineData("")]
    [InlineData("pole/nowhere")]
    [InlineData("switch/nowhere")]
    [InlineData("run/nowhere")]
    [InlineData("port/nowhere:1")]
    [InlineData("port/quay-west")]
    [InlineData("quay-west")]
    public void A_place_that_the_design_does_not_have_is_no_scope(string scope) => Assert.Null(MaintenanceScope.Of(scope, Harbour.Design().Build()));

    [Fact]
    public void A_window_is_in_force_from_its_begin_to_before_its_end_or_until_it_is_ended()
    {
        var start = BookTimeline.Start;
        var window = new MaintenanceWindow("mw-1", "site", start, start.AddHours(2), "Mira", "new gland", start.AddDays(-1));
        Assert.Equal([false, true, true, false], new[] { -1, 0, 7199, 7200 }.Select(s => window.IsInForce(start.AddSeconds(s))));
        Assert.False((window with { EndedAt = start.AddHours(1) }).IsInForce(start.AddMinutes(90)));
        var at = MaintenancePlan.Of([window]).At(start.AddHours(1), Harbour.Design().Build());
        Assert.Equal("mw-1", at(BookTimeline.Key));
        Assert.Equal("", MaintenancePlan.Of([window]).At(start.AddHours(3), Harbour.Design().Build())(BookTimeline.Key));
    }

    [Fact]
    public void Windows_of_the_design_count_beside_those_that_people_announce_and_can_be_ended_early()
    {
        var start = BookTimeline.Start;
        var work = new PlannedWork("gland", "pole/pole-1", start, start.AddHours(4), "Mira", "new gland");
        var design = Harbour.Design().Maintenance(work).Build();
        var said = new MaintenanceWindow("mw-1", "switch/quay-east", start, start.AddHours(2), "Mira", "new fan", start.AddDays(-1));

        var plan = MaintenancePlan.Of([said]).With(design, start.AddDays(-30));
        Assert.Equal([("gland", true), ("mw-1", false)], plan.Windows.Select(w => (w.Id, w.IsOfDesign)).Order());
        Assert.Equal("gland", plan.At(start.AddHours(1), design)(new AlarmKey("run/quay-west:1/1", "port-dark")));
        Assert.Single(MaintenancePlan.Of([said]).With(design, work.To).Windows); // over for long

        var ended = MaintenancePlan.Of([plan.Find("gland")! with { EndedAt = start.AddHours(1), EndedBy = "Mira" }]);
        Assert.Equal("", ended.With(design, start)!.At(start.AddHours(2), design)(new AlarmKey("run/quay-west:1/1", "port-dark")));

        // Another time in the design is another window.
        var moved = Harbour.Design().Maintenance(work with { To = start.AddHours(5) }).Build();
        Assert.Equal("gland", ended.With(moved, start).At(start.AddHours(2), moved)(new AlarmKey("run/quay-west:1/1", "port-dark")));
    }

    [Fact]
    public void What_comes_and_goes_inside_a_window_is_recorded_and_calls_nobody()
    {
        var timeline = new BookTimeline { Window = "mw-1" };
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Gone(40);
        timeline.Gone(100);
        timeline.Window = "";
        timeline.Gone(200);
        Assert.Equal(["suppressed", "cleared"], timeline.Kinds);
        Assert.All(timeline.Changes, change => Assert.Equal("maintenance mw-1", change.QuietBecause));
        Assert.Equal("", timeline.Alarm!.MaintenanceId);
    }

    [Fact]
    public void The_end_of_a_window_raises_what_still_holds_once()
    {
        var timeline = new BookTimeline { Window = "mw-1" };
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Restart();
        timeline.Holds(60);
        timeline.Window = "";
        timeline.Holds(70);
        timeline.Holds(80);
        Assert.Equal(["suppressed", "raised"], timeline.Kinds);
        Assert.Equal(["maintenance mw-1", ""], timeline.Changes.Select(c => c.QuietBecause));
        Assert.Equal(BookTimeline.Start.AddSeconds(70), timeline.Alarm!.RaisedAt);
    }

    [Fact]
    public void What_is_about_to_clear_when_a_window_ends_is_not_raised_for_its_off_delay()
    {
        var timeline = new BookTimeline { Window = "mw-1" };
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Gone(40);
        timeline.Window = "";
        timeline.Gone(50);
        timeline.Gone(100);
        Assert.Equal(["suppressed", "cleared"], timeline.Kinds);
    }

    [Fact]
    public void A_window_waits_with_raising_until_something_is_known()
    {
        var timeline = new BookTimeline { Window = "mw-1" };
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Window = "";
        timeline.Gone(40, isKnown: false);
        Assert.Equal(["suppressed"], timeline.Kinds);
        timeline.Holds(50);
        Assert.Equal(["suppressed", "raised"], timeline.Kinds);
    }

    [Fact]
    public void An_alarm_that_stands_when_a_window_begins_is_suppressed_and_raised_again_at_its_end()
    {
        var timeline = new BookTimeline();
        timeline.Holds(0);
        timeline.Holds(30);
        timeline.Window = "mw-1";
        timeline.Gone(40, isKnown: false);
        timeline.Holds(50);
        timeline.Window = "";
        timeline.Holds(60);
        Assert.Equal(["raised", "suppressed", "raised"], timeline.Kinds);
    }
}
