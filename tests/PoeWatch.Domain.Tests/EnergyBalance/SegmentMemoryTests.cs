using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.EnergyBalance;

/// <summary>A segment over weeks: when its loop is told, when it is said to have grown, and what a restart changes.</summary>
public sealed class SegmentMemoryTests
{
    private static readonly TimeSpan s_minute = TimeSpan.FromMinutes(1);

    [Fact]
    public void Nothing_is_told_before_a_day_is_over()
    {
        var drawn = new DrawnSegment(11);
        var memory = new SegmentMemory(MeteredSegmentTests.Segment(s_minute, drawn.TrueOhms));
        foreach (var sample in drawn.Read(23, 0.1))
        {
            memory.Note(sample);
            Assert.Null(memory.At(sample.At).Now);
        }

        Assert.StartsWith("no day is over yet", memory.At(DrawnSegment.Start.AddHours(23)).WhyUnknown, StringComparison.Ordinal);
    }

    [Fact]
    public void After_a_week_the_interval_holds_the_loop_and_no_growth_is_said()
    {
        var drawn = new DrawnSegment(11);
        var memory = new SegmentMemory(MeteredSegmentTests.Segment(s_minute, drawn.TrueOhms));
        Note(memory, drawn.Read(7 * 24, 0.1));

        var balance = memory.At(DrawnSegment.Start.AddDays(7));

        Assert.Equal((7, ""), (balance.Days, balance.WhyUnknown));
        Assert.InRange(drawn.TrueOhms, (balance.Loop!.Value - balance.Now!.HalfWidth!.Value).Ohms, (balance.Loop.Value + balance.Now.HalfWidth.Value).Ohms);
        Assert.Null(balance.Shift);
        Assert.True(balance.SurelyGrown!.Value.Fraction < 0);
    }

    [Fact]
    public void A_steady_load_tells_nothing_and_says_why()
    {
        var memory = new SegmentMemory(MeteredSegmentTests.Segment(s_minute));
        for (var minute = 0; minute < 2 * 1440; minute++)
        {
            memory.Note(new BalanceSample(DrawnSegment.Start.AddMinutes(minute), Power.FromWatts(30), Power.FromWatts(20), null, BalanceSample.Reference));
        }

        var balance = memory.At(DrawnSegment.Start.AddDays(2));

        Assert.Null(balance.Loop);
        Assert.Equal("the load changed too seldom to tell the copper from what the far end takes itself: 1 different loads in 2 days, 8 are needed", balance.WhyUnknown);
        Assert.Null(balance.SurelyGrown);
    }

    [Fact]
    public void Coarse_meters_tell_nothing_and_say_why()
    {
        var drawn = new DrawnSegment(11);
        var memory = new SegmentMemory(MeteredSegmentTests.Segment(s_minute, drawn.TrueOhms));
        memory.NoteSteps(Power.FromWatts(2), null);
        Note(memory, drawn.Read(7 * 24, 2));

        Assert.Contains("metered in steps of 2.0 W", memory.At(DrawnSegment.Start.AddDays(7)).WhyUnknown, StringComparison.Ordinal);
    }

    [Fact]
    public void A_joint_that_grows_is_told_within_eight_days_by_its_own_earlier_days_alone()
    {
        // The design knows nothing of this cable: it allows for twice as much, so only the growth can tell.
        var drawn = new DrawnSegment(11);
        var memory = new SegmentMemory(MeteredSegmentTests.Segment(s_minute, 2 * drawn.TrueOhms));
        Note(memory, drawn.Read(14 * 24, 0.1));
        Assert.True(memory.At(DrawnSegment.Start.AddDays(14)).SurelyGrown!.Value.Fraction < 0.1);

        var toldAfter = 0;
        foreach (var sample in drawn.Read(14 * 24, 0.1, growth: 1.6).Select(s => s with { At = s.At.AddDays(14) }))
        {
            memory.Note(sample);
            if (memory.At(sample.At) is { SurelyGrown: { Fraction: > 0.1 } } && toldAfter == 0)
            {
                toldAfter = (int)(sample.At - DrawnSegment.Start).TotalDays - 14;
            }
        }

        Assert.InRange(toldAfter, 1, 8);
        var grown = memory.At(DrawnSegment.Start.AddDays(28));
        Assert.InRange(0.6 * drawn.TrueOhms, 0.95 * (grown.Shift!.Ohms - grown.Shift.HalfWidth).Ohms, 1.05 * (grown.Shift.Ohms + grown.Shift.HalfWidth).Ohms);
        Assert.Equal(new DateOnly(2026, 1, 5), grown.EarlierFrom);
    }

    [Fact]
    public void A_cable_that_never_was_as_designed_is_told_without_an_earlier_week()
    {
        var drawn = new DrawnSegment(11);
        var memory = new SegmentMemory(MeteredSegmentTests.Segment(s_minute, drawn.TrueOhms / 2));
        Note(memory, drawn.Read(7 * 24, 0.1));

        Assert.True(memory.At(DrawnSegment.Start.AddDays(7)).SurelyGrown!.Value.Fraction > 0.4);
    }

    [Theory]
    [InlineData(14, 0)]
    [InlineData(14, 11)]
    [InlineData(10, 23)]
    public void A_restart_changes_the_estimates_by_less_than_their_scatter(int days, int hour)
    {
        var drawn = new DrawnSegment(12);
        BalanceSample[] all = [.. drawn.Read(21 * 24, 0.1)];
        var cut = DrawnSegment.Start.AddDays(days).AddHours(hour);
        var (whole, older, later) = (New(drawn), New(drawn), New(drawn));
        Note(whole, all);
        Note(older, all.Where(s => s.At < cut));
        foreach (var sample in all.Where(s => s.At >= cut))
        {
            // What the history tells comes a while after the start.
            if (sample.At == cut.AddMinutes(90))
            {
                later.Adopt(older);
            }

            later.Note(sample);
        }

        var (a, b) = (whole.At(DrawnSegment.Start.AddDays(21)), later.At(DrawnSegment.Start.AddDays(21)));

        Assert.Equal(a.Days, b.Days);
        Assert.Equal((a.EarlierFrom, a.EarlierTo), (b.EarlierFrom, b.EarlierTo));
        Assert.InRange(Math.Abs((a.Loop!.Value - b.Loop!.Value).Ohms), 0, a.Now!.Scatter!.Value.Ohms / 4);
        Assert.InRange(Math.Abs((a.Earlier!.Loop!.Value - b.Earlier!.Loop!.Value).Ohms), 0, a.Earlier.Scatter!.Value.Ohms / 4);
    }

    private static SegmentMemory New(DrawnSegment drawn) => new(MeteredSegmentTests.Segment(s_minute, drawn.TrueOhms));

    private static void Note(SegmentMemory memory, IEnumerable<BalanceSample> samples)
    {
        foreach (var sample in samples)
        {
            memory.Note(sample);
        }
    }
}
