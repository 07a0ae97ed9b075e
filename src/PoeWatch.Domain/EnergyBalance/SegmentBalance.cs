using System.Globalization;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>What both meters of a segment tell of its copper. Immutable and thread safe.</summary>
/// <param name="At">When it was reckoned.</param>
/// <param name="Days">Of the last seven whole days (UTC) those with readings that count.</param>
/// <param name="Now">From those days; null where there is none.</param>
/// <param name="Earlier">From the oldest seven days that are remembered, where they end before those of <paramref name="Now"/> begin; else null.</param>
/// <param name="Step">Watts in which the coarser of both meters tells.</param>
public sealed record SegmentBalance(MeteredSegment Segment, DateTimeOffset At, int Days, LoopEstimate? Now, LoopEstimate? Earlier, Power Step)
{
    // An interval of 90 % leaves 5 % beyond its upper end; half as wide again leaves about 1 %, for an alarm that is looked at every day. Common practice, no source.
    private const double AlarmWidth = 1.5;

    /// <summary>First day of <see cref="Earlier"/>; null where there is none.</summary>
    public DateOnly? EarlierFrom { get; init; }

    /// <summary>Last day of <see cref="Earlier"/>; null where there is none.</summary>
    public DateOnly? EarlierTo { get; init; }

    /// <summary>The loop; null where none is told, and then <see cref="WhyUnknown"/> says why.</summary>
    public Resistance? Loop => Now?.Loop;

    /// <summary>By how many ohms it grew since the days of <see cref="Earlier"/>, which may be known where the loop itself is not; null where it is not known.</summary>
    public LoopShift? Shift { get; init; }

    /// <summary>True where anything can be said of a growth: a loop is told, or a shift.</summary>
    public bool IsGrowthKnown => Loop is not null || Shift is not null;

    /// <summary>
    /// By how much it has surely grown: against what a sound cable of this design may have, or against its own earlier days in shares of the design's loop, whichever tells more. Negative
    /// where nothing grew; null where nothing is known of it.
    /// </summary>
    public Ratio? SurelyGrown
    {
        get
        {
            var aboveSound = Now is { Loop: { } loop, HalfWidth: { } half } ? ((loop - (half * AlarmWidth)) / Segment.SoundMost) - 1.0 : (double?)null;
            var aboveEarlier = Shift is { } shift ? (shift.Ohms - (shift.HalfWidth * AlarmWidth)) / Segment.Designed : (double?)null;
            return aboveSound is null ? aboveEarlier is { } grown ? Ratio.FromFraction(grown) : null : Ratio.FromFraction(Math.Max(aboveSound.Value, aboveEarlier ?? double.MinValue));
        }
    }

    /// <summary>For people; empty where the loop is told.</summary>
    public string WhyUnknown => Now switch
    {
        { Outcome: LoopOutcome.Found } => "",
        null => "no day is over yet with readings of both ends that are near in time, of draws and steady for three polls",
        { Outcome: LoopOutcome.TooFewChanges } => string.Create(
            CultureInfo.InvariantCulture, $"the load changed too seldom to tell the copper from what the far end takes itself: {Now.Levels} different loads in {Days} days, {LoopEstimator.FewestLevels} are needed"),
        _ => string.Create(
            CultureInfo.InvariantCulture, $"the interval would be wider than {LoopEstimate.WidestTold.Percent:0} % to either side: {Now.Levels} different loads in {Days} days, metered in steps of {Step.Watts:0.0##} W"),
    };
}
