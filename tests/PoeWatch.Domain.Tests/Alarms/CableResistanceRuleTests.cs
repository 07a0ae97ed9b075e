using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Tests.Assessment;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>Copper that has more resistance than it should, along a timeline of estimates; what an estimate is worth is tested beside the estimator.</summary>
public sealed class CableResistanceRuleTests
{
    // In seconds. Three days on end have to say it.
    private const int Day = 86_400;

    private static readonly AlarmKey s_key = new("run/quay-west:1/2", AlarmTypes.CableResistanceGrown);
    private static readonly DesignModel s_design = Harbour.Design().Build();
    private static readonly MeteredSegment s_segment = MeteredSegment.Of(s_design)[0];

    // By the design 2.004 ohm, and a sound cable may have 15 % more: 2.305 ohm. Half an interval and a half of it below the estimate is what is sure.
    [Theory]
    [InlineData(2.00, null)]
    [InlineData(2.80, null)]
    [InlineData(2.90, AlarmSeverity.Warning)]
    [InlineData(3.70, AlarmSeverity.Warning)]
    [InlineData(4.00, AlarmSeverity.Minor)]
    public void Only_what_is_surely_above_a_sound_cable_is_told(double ohms, AlarmSeverity? severity)
    {
        var story = new MemoryStory(s_design);
        story.Segments = [Balance(ohms)];
        story.Play(0, 4 * Day, Day / 4);
        Assert.Equal(severity, story.Book.Find(s_key)?.Severity);
    }

    [Fact]
    public void Its_own_earlier_days_tell_of_growth_that_the_design_still_allows()
    {
        var story = new MemoryStory(s_design);

        // 0.6 ohm less one and a half times 0.04 are 0.54 of 2.004 ohm by the design.
        story.Segments = [Balance(2.1, shift: 0.6)];
        story.Play(0, 4 * Day, Day / 4);
        Assert.Equal(["cable-resistance-grown raised"], story.Told);
        Assert.Contains("0.60 ohm more than from 2026-05-28 to 2026-06-03 (0.56 to 0.64, derived by the same meters)", story.Book.Find(s_key)!.Text, StringComparison.Ordinal);
        Assert.Contains("surely 27 % of it more", story.Book.Find(s_key)!.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Growth_is_told_also_where_the_loop_itself_is_not_known()
    {
        var story = new MemoryStory(s_design);
        story.Segments = [Balance(null, shift: 0.2)];
        story.Play(0, 4 * Day, Day / 4);
        Assert.Empty(story.Changes);
        story.Segments = [Balance(null, shift: 0.6)];
        story.Play(5 * Day, 9 * Day, Day / 4);
        Assert.Equal(["cable-resistance-grown raised"], story.Told);
        Assert.Contains("the loop itself is not known, its growth is, 0.60 ohm more", story.Book.Find(s_key)!.Text, StringComparison.Ordinal);
        story.Segments = [Balance(null, shift: 0.05)];
        story.Play(10 * Day, 12 * Day, Day / 4);
        Assert.Equal("cable-resistance-grown cleared", story.Told[^1]);
    }

    [Fact]
    public void It_is_raised_once_holds_in_the_deadband_and_while_nothing_is_known_and_clears_when_mended()
    {
        var story = new MemoryStory(s_design);
        story.Segments = [Balance(3.0)];
        story.Play(0, (3 * Day) - 600, 600);
        Assert.Empty(story.Changes);
        story.Play(3 * Day, (3 * Day) + 600, 600);
        Assert.Equal(["cable-resistance-grown raised"], story.Told);

        // Surely 8 % and no longer 10: within the three percent of the deadband.
        story.Segments = [Balance(2.80)];
        story.Play(4 * Day, 6 * Day, Day / 4);
        story.Segments = [Balance(null)];
        story.Play(7 * Day, 9 * Day, Day / 4);
        story.Segments = [];
        story.Play(10 * Day, 12 * Day, Day / 4);
        Assert.Single(story.Changes);

        story.Segments = [Balance(2.0)];
        story.Play(13 * Day, 15 * Day, Day / 4);
        Assert.Equal(["cable-resistance-grown raised", "cable-resistance-grown cleared"], story.Told);
    }

    [Fact]
    public void A_segment_that_the_design_no_longer_has_clears_it()
    {
        var story = new MemoryStory(s_design);
        Assert.False(AlarmRules.IsKnown(s_key, s_design, Site(story)));

        var without = Harbour.Design().PassThrough("pts-2", "pole-2", managed: false).Build();
        Assert.True(AlarmRules.IsKnown(s_key, without, Site(new MemoryStory(without))));
    }

    [Fact]
    public void Of_several_segments_of_a_run_the_worst_is_named_with_its_heat()
    {
        var story = new MemoryStory(s_design);
        var other = s_segment with { Segment = s_segment.Segment with { Id = "cable-other" } };
        story.Segments = [Balance(2.9, other), Balance(4.0)];
        var condition = Assert.Single(story.Step(0), c => c.Key == s_key);

        // 28 W at 54 V are 0.519 A; their square times 4.00 less 2.004 ohm is 0.54 W.
        Assert.StartsWith("Cable resistance grew on run quay-west:1/2 (poles pole-2, pole-3), segment quay-west:1/2-pts-2 from quay-west:1/2 to pts-2: a loop of 4.00 ohm (3.80 to 4.20, 90 % interval", condition.Text, StringComparison.Ordinal);
        Assert.EndsWith("At the present 0.52 A (derived from the watts at the PSE) that is 0.5 W more of heat, perhaps in one place.", condition.Text, StringComparison.Ordinal);
    }

    internal static SegmentBalance Balance(double? ohms, MeteredSegment? segment = null, double? shift = null) =>
        new(segment ?? s_segment, Harbour.Noon, 7, Estimate(ohms), null, Power.FromWatts(0.1))
        {
            Shift = shift is { } more ? new LoopShift(Resistance.FromOhms(more), Resistance.FromOhms(0.04)) : null,
            EarlierFrom = shift is null ? null : new DateOnly(2026, 5, 28),
            EarlierTo = shift is null ? null : new DateOnly(2026, 6, 3),
        };

    private static LoopEstimate Estimate(double? ohms) => ohms is { } known
        ? new LoopEstimate(LoopOutcome.Found, Resistance.FromOhms(known), Resistance.FromOhms(0.2), Resistance.FromOhms(0.1), 20)
        : new LoopEstimate(LoopOutcome.TooWide, null, Resistance.FromOhms(1), Resistance.FromOhms(1), 20);

    private static Domain.Assessment.SiteAssessment Site(MemoryStory story)
    {
        story.Step(0);
        return story.Site;
    }
}
