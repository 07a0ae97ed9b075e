using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Assessment;

/// <summary>Ports, groups, poles and agents held against the design.</summary>
public sealed class SiteAssessmentTests
{
    [Fact]
    public void A_port_on_the_data_side_of_an_injector_is_not_dark()
    {
        var port = Assess(Harbour.AsDesigned(Harbour.Noon)).Port("quay-west:1/3");
        Assert.Equal(("inj-4", false, false, HeadroomGrade.Unmetered), (port.DataSideInjectorId, port.IsDark, port.IsUnexpected, port.Grade));
    }

    [Fact]
    public void A_port_that_feeds_a_data_side_is_unexpected()
    {
        var port = Assess(West(SnapshotBuilder.Delivering("quay-west:1/3", 5))).Port("quay-west:1/3");
        Assert.True(port.IsUnexpected);
    }

    [Fact]
    public void A_port_that_delivers_where_the_design_has_nothing_is_unexpected_and_has_no_limit()
    {
        var port = Assess(West(SnapshotBuilder.Delivering("quay-west:1/24", 12))).Port("quay-west:1/24");
        Assert.True(port.IsUnexpected);
        Assert.Null(port.Limit);
        Assert.Null(port.DrawHeadroom);
    }

    [Theory]
    [InlineData(PortState.Searching, true)]
    [InlineData(PortState.Disabled, true)]
    [InlineData(PortState.Fault, true)]
    [InlineData(PortState.Delivering, false)]
    public void A_port_that_feeds_nobody_where_a_device_is_designed_is_dark(PortState state, bool isDark)
    {
        var reading = state == PortState.Delivering ? SnapshotBuilder.Delivering("quay-west:1/1", 10) : SnapshotBuilder.Off("quay-west:1/1", state);
        Assert.Equal(isDark, Assess(West(reading)).Port("quay-west:1/1").IsDark);
    }

    [Fact]
    public void A_port_that_is_off_by_schedule_is_not_dark()
    {
        var window = new DailyWindow(new TimeOnly(22, 0), new TimeOnly(5, 0));
        var design = Harbour.Design().InZone("Europe/Oslo").Schedule("night-off", window, "quay-west:1/1").Build();
        Assert.True(Dark(new DateTimeOffset(2026, 7, 1, 19, 59, 0, TimeSpan.Zero))); // 21:59 in Oslo
        Assert.False(Dark(new DateTimeOffset(2026, 7, 1, 20, 0, 0, TimeSpan.Zero))); // 22:00

        bool Dark(DateTimeOffset at) => Harbour.Assess(
            design, new SnapshotBuilder(at).Answered("quay-west", Harbour.Fresh, SnapshotBuilder.Off("quay-west:1/1"))).Port("quay-west:1/1").IsDark;
    }

    [Fact]
    public void The_draw_of_a_port_is_held_against_its_limit()
    {
        var port = Assess(West(SnapshotBuilder.Delivering("quay-west:1/1", 31))).Port("quay-west:1/1");
        Assert.Equal((-1.0, HeadroomGrade.Over), (port.DrawHeadroom!.Value.Watts, port.Grade));
        var bound = Assess(West(SnapshotBuilder.Delivering("quay-west:1/1", 30, Provenance.ClassBound))).Port("quay-west:1/1");
        Assert.Equal((0.0, HeadroomGrade.Bounded), (bound.DrawHeadroom!.Value.Watts, bound.Grade));
    }

    [Fact]
    public void The_outputs_of_a_managed_pass_through_switch_are_ports_of_their_own()
    {
        var site = Assess(Harbour.AsDesigned(Harbour.Noon));
        var output = site.Port("pts-2:2");
        Assert.Equal((10.0, 30.0, "cam-3"), (output.Draw.Watts!.Value.Watts, output.Limit!.Value.Watts, output.Feeds));
        Assert.InRange(output.DesignDemand!.Value.Watts, 10.0, 10.5); // the camera and its 70 m of cable
        Assert.False(site.Port("pts-2:3").IsDark);
        Assert.Null(site.Port("pts-2:3").DesignDemand);
        var total = Assert.Single(site.Groups, g => g.PseId == "pts-2");
        Assert.Equal((20.0, 55.0, 35.0), (total.Draw.Watts!.Value.Watts, total.Budget.Watts, total.DrawHeadroom!.Value.Watts));
    }

    [Fact]
    public void A_reading_older_than_3_poll_periods_is_unknown()
    {
        Assert.Equal(10.0, Draw(TimeSpan.FromSeconds(180)).Watts!.Value.Watts);
        Assert.Equal(KnownPower.Nothing, Draw(TimeSpan.FromSeconds(181)));

        static KnownPower Draw(TimeSpan age) =>
            Assess(Harbour.AsDesigned(Harbour.Noon).Answered("quay-west", age, Harbour.QuayWest())).Port("quay-west:1/1").Draw;
    }

    [Fact]
    public void An_agent_whose_polls_have_stopped_is_unknown_and_not_silent()
    {
        var agent = Assess(Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-west", age: TimeSpan.FromMinutes(5))).Agents["quay-west"];
        Assert.Equal(PollOutcome.Unknown, agent.Outcome);
        Assert.Contains("11:55:00", agent.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public void A_group_is_held_against_the_lower_budget_less_its_guard_band()
    {
        var told = new GroupReading(1, Power.FromWatts(150), Power.FromWatts(41), Provenance.Measured, true);
        var group = Group(Harbour.AsDesigned(Harbour.Noon).Answered("quay-west", Harbour.Fresh, [told], Harbour.QuayWest()));
        Assert.Equal((150.0, 41.0, 99.0), (group.Budget.Watts, group.Draw.Watts!.Value.Watts, group.DrawHeadroom!.Value.Watts));
    }

    [Fact]
    public void A_group_that_reports_nothing_draws_the_sum_of_its_ports_and_is_no_better_known()
    {
        var group = Group(Harbour.AsDesigned(Harbour.Noon));
        Assert.Equal((38.0, Provenance.Measured, 152.0), (group.Draw.Watts!.Value.Watts, group.Draw.Provenance, group.DrawHeadroom!.Value.Watts));
        var bound = Group(West(SnapshotBuilder.Delivering("quay-west:1/1", 30, Provenance.ClassBound)));
        Assert.Equal((58.0, Provenance.ClassBound, HeadroomGrade.Bounded), (bound.Draw.Watts!.Value.Watts, bound.Draw.Provenance, bound.Grade));
        var unknown = Group(West(new PortReading(new PsePortRef("quay-west", 1, 1), PortState.Delivering, null, Provenance.Unknown, null)));
        Assert.Equal((KnownPower.Nothing, (Power?)null, HeadroomGrade.Unknown), (unknown.Draw, unknown.DrawHeadroom, unknown.Grade));
    }

    [Fact]
    public void A_pole_shows_its_run_and_whether_it_shares_it()
    {
        var site = Assess(Harbour.AsDesigned(Harbour.Noon));
        Assert.Equal((10.0, false), (site.Poles["pole-1"].DrawAtPse.Watts!.Value.Watts, site.Poles["pole-1"].IsShared));
        Assert.Equal((28.0, true), (site.Poles["pole-3"].DrawAtPse.Watts!.Value.Watts, site.Poles["pole-3"].IsShared));
        Assert.Equal((true, HeadroomGrade.Unmetered), (site.Poles["pole-4"].HasUnmetered, site.Poles["pole-4"].Grade));
        Assert.Equal("inj-4", site.Poles["pole-4"].Smallest!.CableRunId);
    }

    [Fact]
    public void A_pole_of_two_runs_is_unknown_where_one_of_them_is_and_shows_the_smaller_headroom()
    {
        var design = Harbour.Design().Device("cam-6", "camera", "pole-1").Port("quay-east:1/2").Cable("quay-east:1/2", "cam-6", 95).Build();
        var site = Harbour.Assess(design, Harbour.AsDesigned(Harbour.Noon));
        Assert.Equal(KnownPower.Nothing, site.Poles["pole-1"].DrawAtPse);
        Assert.Equal("quay-east:1/2", site.Poles["pole-1"].Smallest!.CableRunId);
        Assert.Equal(HeadroomGrade.Unknown, site.Poles["pole-1"].Grade);
    }

    [Fact]
    public void A_switch_behind_a_silent_one_is_silent_for_that_cause()
    {
        var design = Harbour.Design().Switch("far", uplinkTo: "quay-east").Build();
        var site = Harbour.Assess(design, Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-west").NotAnswered("quay-east").NotAnswered("far").NotAnswered("pts-2"));
        Assert.Null(site.Agents["quay-west"].SilentBecauseOf);
        Assert.All(["quay-east", "far", "pts-2"], id => Assert.Equal("quay-west", site.Agents[id].SilentBecauseOf));
    }

    [Fact]
    public void A_silent_switch_whose_uplink_answers_is_silent_of_its_own()
    {
        var site = Assess(Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-east"));
        Assert.Equal((PollOutcome.Silent, null), (site.Agents["quay-east"].Outcome, site.Agents["quay-east"].SilentBecauseOf));
    }

    [Fact]
    public void A_pass_through_switch_without_power_is_silent_because_of_its_port()
    {
        var site = Assess(West(SnapshotBuilder.Off("quay-west:1/2", PortState.Fault)).NotAnswered("pts-2"));
        Assert.Equal("quay-west:1/2", site.Agents["pts-2"].SilentBecauseOf);
    }

    [Fact]
    public void Before_the_first_poll_nothing_is_known()
    {
        var site = Assess(new SnapshotBuilder(Harbour.Noon));
        Assert.All(site.Ports.Values, port => Assert.Equal(KnownPower.Nothing, port.Draw));
        Assert.All(site.Agents.Values, agent => Assert.Equal(PollOutcome.Unknown, agent.Outcome));
        Assert.Equal(HeadroomGrade.Unknown, site.Poles["pole-1"].Grade);
        Assert.Null(site.Poles["pole-1"].At);
    }

    [Fact]
    public void A_zone_that_the_machine_does_not_know_is_read_as_UTC()
    {
        var calendar = new LoadCaseCalendar(
            [new LoadCase("a", "a", null, [])], new Site("Skerry Haven", "Skerry/Haven", null), ConditionPlan.Nothing, ConditionPlan.ColdBelowDefault);
        Assert.Equal(new DateTime(2026, 7, 1, 12, 0, 0), calendar.LocalTime(Harbour.Noon));
    }

    private static SiteAssessment Assess(SnapshotBuilder snapshot) => Harbour.Assess(Harbour.Design().Build(), snapshot);

    private static GroupAssessment Group(SnapshotBuilder snapshot) => Assert.Single(Assess(snapshot).Groups, g => g.PseId == "quay-west");

    private static SnapshotBuilder West(params PortReading[] instead) =>
        Harbour.AsDesigned(Harbour.Noon).Answered("quay-west", Harbour.Fresh, Harbour.QuayWest(instead));
}
