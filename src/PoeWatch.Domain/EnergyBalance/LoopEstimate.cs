using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>What came of looking for a segment's resistance.</summary>
public enum LoopOutcome
{
    Unknown = 0,

    /// <summary>A resistance with its interval.</summary>
    Found = 1,

    /// <summary>The load changed too seldom or too little to tell the copper from what the far end takes itself.</summary>
    TooFewChanges = 2,

    /// <summary>The interval of 90 % is wider than 20 % to either side: no resistance is told.</summary>
    TooWide = 3,
}

/// <summary>How far the meters can be wrong, as data sheets say it: half the width of what is possible.</summary>
/// <param name="PseWatts">Gain of the watts at the PSE.</param>
/// <param name="PseVolts">The volts at the PSE, measured or taken from the design.</param>
/// <param name="FarVolts">Gain of the volts at the far end; counts where those are used.</param>
/// <param name="Step">Watts in which the coarser of both meters tells.</param>
public sealed record MeterTrust(Ratio PseWatts, Ratio PseVolts, Ratio FarVolts, Power Step)
{
    /// <summary>2 % of watts, 1 % of volts, steps of 0.1 W: common practice, no source.</summary>
    public static MeterTrust Usual { get; } = new(Ratio.FromPercent(2), Ratio.FromPercent(1), Ratio.FromPercent(1), Power.FromWatts(0.1));
}

/// <summary>The real loop resistance of a segment, found from what both ends meter. Immutable and thread safe.</summary>
/// <param name="Loop">At 20 °C where the temperatures of the conductors were known. Null unless <see cref="LoopOutcome.Found"/>.</param>
/// <param name="HalfWidth">Half of the interval that holds the truth with 90 %, meters' gains included; null where nothing could be fitted.</param>
/// <param name="Scatter">Half of the interval without the gains: what counts when two estimates by the same meters are compared.</param>
/// <param name="Levels">Different loads that went into it.</param>
public sealed record LoopEstimate(LoopOutcome Outcome, Resistance? Loop, Resistance? HalfWidth, Resistance? Scatter, int Levels)
{
    /// <summary>An interval wider than this to either side tells nothing.</summary>
    public static Ratio WidestTold { get; } = Ratio.FromPercent(20);
}

/// <summary>By how much a resistance grew between two estimates by the same meters.</summary>
/// <param name="Share">0.1: a tenth more than before.</param>
/// <param name="HalfWidth">Half of its interval of 90 %.</param>
public sealed record LoopGrowth(Ratio Share, Ratio HalfWidth)
{
    /// <summary>True where even the lower end of the interval is growth.</summary>
    public bool IsProven => Share > HalfWidth;

    /// <summary>Null unless both were found.</summary>
    public static LoopGrowth? Between(LoopEstimate before, LoopEstimate now)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(now);
        if (before is not { Loop: { } was, Scatter: { } wasBy } || now is not { Loop: { } isNow, Scatter: { } isBy })
        {
            return null;
        }

        var share = isNow / was;
        return new LoopGrowth(
            Ratio.FromFraction(share - 1.0), Ratio.FromFraction(share * double.Hypot(isBy / isNow, wasBy / was)));
    }
}

/// <summary>
/// By how many ohms a loop grew between two stretches of days, told by the same meters at both ends. It is known far better than the loop itself: what the converter loses of each watt and what the
/// meters' gains differ by is the same in both, so it need not be told from the copper.
/// </summary>
/// <param name="Ohms">Negative where it fell.</param>
/// <param name="HalfWidth">Half of its interval of 90 %.</param>
public sealed record LoopShift(Resistance Ohms, Resistance HalfWidth);
