using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Assessment;

/// <summary>Runs held against the design.</summary>
public sealed class RunAssessmentTests
{
    [Fact]
    public void A_run_that_draws_what_it_should_has_the_headroom_of_its_design()
    {
        var run = Camera(SnapshotBuilder.Delivering("quay-west:1/1", 10));
        Assert.Equal(Power.Zero, run.Excess);
        Assert.Equal("night", run.WorstLoadCaseId);
        Assert.False(run.IsAtLeast);
        Assert.Equal(HeadroomGrade.Ample, run.Grade);
        Assert.True(run.DesignDemandNow < run.DesignDemandWorst);
        // 30 W at the port less 15 W at night less what 80 m of 23 AWG lose: below 15 W, and not far below.
        Assert.InRange(run.Headroom.Watts.Watts, 13.5, 15.0);
        Assert.Equal(LimitKind.PsePort, run.Headroom.Binding.Kind);
    }

    [Fact]
    public void What_the_live_draw_exceeds_the_design_by_lies_on_top_of_the_worst_load_case()
    {
        var before = Camera(SnapshotBuilder.Delivering("quay-west:1/1", 10));
        var live = before.DesignDemandNow!.Value + Power.FromWatts(6);
        var run = Camera(SnapshotBuilder.Delivering("quay-west:1/1", live.Watts));
        Assert.Equal(6.0, run.Excess.Watts, 9);
        // Of what the PSE gives at noon the camera's 10 W arrive; the same share of the 6 W arrives too, and is gone from what could still hang there.
        var arrives = 6.0 * 10.0 / before.DesignDemandNow.Value.Watts;
        Assert.InRange(arrives, 5.8, 5.99);
        Assert.Equal(arrives, (before.Headroom.Watts - run.Headroom.Watts).Watts, 4);
        Assert.Equal(run.DesignDemandWorst, before.DesignDemandWorst);
    }

    [Theory]
    [InlineData(10, HeadroomGrade.Ample)]
    [InlineData(21, HeadroomGrade.Slim)]
    [InlineData(23.5, HeadroomGrade.Spent)]
    [InlineData(26, HeadroomGrade.Over)]
    public void The_grade_follows_the_floors_of_the_policy(double draw, HeadroomGrade expected) =>
        Assert.Equal(expected, Camera(SnapshotBuilder.Delivering("quay-west:1/1", draw)).Grade);

    [Fact]
    public void A_draw_of_the_night_is_no_excess_at_night()
    {
        Assert.True(Camera(SnapshotBuilder.Delivering("quay-west:1/1", 15), Harbour.Noon).Excess > Power.FromWatts(4));
        Assert.Equal(Power.Zero, Camera(SnapshotBuilder.Delivering("quay-west:1/1", 15), Harbour.Night).Excess);
    }

    [Fact]
    public void A_season_that_comes_next_month_counts_and_one_that_is_far_does_not()
    {
        Assert.Equal("night", Worst(2026, 9, 30));
        Assert.Equal("winter-night", Worst(2026, 10, 1));
        Assert.Equal("winter-night", Worst(2026, 12, 24));

        static string Worst(int year, int month, int day) =>
            Camera(SnapshotBuilder.Delivering("quay-west:1/1", 10), new DateTimeOffset(year, month, day, 12, 0, 0, TimeSpan.Zero)).WorstLoadCaseId;
    }

    [Theory]
    [InlineData(Provenance.ClassBound)]
    [InlineData(Provenance.Allocated)]
    [InlineData(Provenance.Lldp)]
    public void A_ceiling_is_never_an_excess_and_says_at_least(Provenance provenance)
    {
        var run = Camera(SnapshotBuilder.Delivering("quay-west:1/1", 30, provenance));
        Assert.Equal((Power.Zero, true, HeadroomGrade.Bounded), (run.Excess, run.IsAtLeast, run.Grade));
        Assert.Equal(provenance, run.DrawAtPse.Provenance);
    }

    [Fact]
    public void A_run_behind_an_unmanaged_injector_is_unmetered_and_known_by_design_only()
    {
        var run = Harbour.Assess(Harbour.Design().Build(), Harbour.AsDesigned(Harbour.Noon)).CableRuns["inj-4"];
        Assert.True(run.IsUnmetered);
        Assert.True(run.IsAtLeast);
        Assert.Equal((KnownPower.Nothing, HeadroomGrade.Unmetered), (run.DrawAtPse, run.Grade));
        Assert.Equal("ext-4", run.Headroom.AtElement);
    }

    [Fact]
    public void A_silent_switch_leaves_its_runs_unknown_and_not_zero()
    {
        var snapshot = Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-west");
        var run = Harbour.Assess(Harbour.Design().Build(), snapshot).CableRuns["quay-west:1/1"];
        Assert.Null(run.DrawAtPse.Watts);
        Assert.Equal((Provenance.Unknown, HeadroomGrade.Unknown), (run.DrawAtPse.Provenance, run.Grade));
    }

    [Fact]
    public void Watts_that_the_PD_reports_count_at_the_PSE_with_the_loss_of_the_cable()
    {
        var run = Light(SnapshotBuilder.Delivering("s:1/1", 60, Provenance.ReportedByPd), portLimitWatts: 90);
        Assert.Equal(run.DesignDemandNow!.Value.Watts, run.DrawAtPse.Watts!.Value.Watts, 6);
        Assert.True(run.DrawAtPse.Watts > Power.FromWatts(62));
        Assert.Equal(Power.Zero, run.Excess);
    }

    [Fact]
    public void A_run_that_the_design_itself_overloads_is_over()
    {
        var run = Light(SnapshotBuilder.Delivering("s:1/1", 20), portLimitWatts: 30);
        Assert.Equal(HeadroomGrade.Over, run.Grade);
        Assert.True(run.Headroom.Binding.IsBroken);
    }

    private static RunAssessment Camera(PortReading reading, DateTimeOffset? at = null) => Harbour.Assess(
        Harbour.Design().Build(),
        Harbour.AsDesigned(at ?? Harbour.Noon).Answered("quay-west", Harbour.Fresh, Harbour.QuayWest(reading))).CableRuns["quay-west:1/1"];

    private static RunAssessment Light(PortReading reading, double portLimitWatts)
    {
        var design = new DesignModelBuilder()
            .DeviceType("light", 60, PoeClass.Class8)
            .Switch("s").Port("s:1/1", portLimitWatts, PoeType.Type4, PoeClass.Class8)
            .Device("light-1", "light", "pole").Cable("s:1/1", "light-1", 100)
            .Build();
        return Harbour.Assess(design, new SnapshotBuilder(Harbour.Noon).Answered("s", Harbour.Fresh, reading)).CableRuns["s:1/1"];
    }
}
