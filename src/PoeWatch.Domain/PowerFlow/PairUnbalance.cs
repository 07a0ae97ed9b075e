using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Pairs are never quite alike, so one pairset carries more than half of the current. Pure and thread safe.</summary>
public static class PairUnbalance
{
    /// <summary>Between pairsets of a channel: 7 %, the working figure for four pairs (IEEE 802.3 4PPoE mail msg00418).</summary>
    public static Ratio BetweenPairsets { get; } = Ratio.FromPercent(7.0);

    /// <summary>Most amperes of one conductor by BS 7671:2018+A4:2026, section 716 (as quoted by a training text).</summary>
    public static Current ConductorLimitBs7671 { get; } = Current.FromAmperes(0.750);

    /// <summary>What 22 and 23 AWG of a 75 °C cable carry at least in bundles of up to 192 (NEC 2020 table 725.144, Siemon on conductor ampacity).</summary>
    public static Current ConductorLimitNec { get; } = Current.FromAmperes(0.500);

    /// <summary>
    /// Most amperes of one pairset with the unbalance counted. Type 3: 0.682 A, the current of class 6 with unbalance (IEEE 802.3 clause 145, from memory: a half of 1.2 A leaves no room for
    /// any). Others: the pairset's own, 0.96 A of Type 4 has room for class 8 at 7 %.
    /// </summary>
    public static Current PairsetLimit(TypeLimits type) => type.Type == PoeType.Type3 ? Current.FromAmperes(Type3Unbalanced) : type.PairsetMaximumCurrent;

    private const double Type3Unbalanced = 0.682;

    /// <summary>What the pairset with less resistance carries: half of all, and more by the unbalance.</summary>
    /// <param name="overFourPairs">All four pairs together.</param>
    /// <param name="unbalance">0 or more.</param>
    public static Current HigherPairset(Current overFourPairs, Ratio unbalance)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(unbalance.Fraction);
        return overFourPairs * ((1.0 + unbalance.Fraction) / 2.0);
    }

    /// <summary>What each conductor carries where all are alike: half of a pairset's, a quarter of four pairs'.</summary>
    /// <param name="pairs">2 or 4 powered pairs.</param>
    public static Current PerConductor(Current overAllPairs, int pairs) => pairs switch
    {
        2 => overAllPairs / 2.0,
        4 => overAllPairs / 4.0,
        _ => throw new ArgumentOutOfRangeException(nameof(pairs), pairs, "Power flows over 2 or 4 pairs."),
    };
}
