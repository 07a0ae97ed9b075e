using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// Autoclass (IEEE 802.3 clause 145): a PD draws its highest power once, soon after power-up; the PSE measures it and reserves that with a margin in place of
/// the class. Times: TI TPS2372 data sheet, Autoclass section. Pure and thread safe.
/// </summary>
public static class Autoclass
{
    /// <summary>The PD draws its highest power from here on, counted from power-up.</summary>
    public static TimeSpan MeasuredFrom { get; } = TimeSpan.FromSeconds(1.35);

    /// <summary>Until here.</summary>
    public static TimeSpan MeasuredUntil { get; } = TimeSpan.FromSeconds(3.65);

    /// <summary>Shortest sliding window that the PSE averages over.</summary>
    public static TimeSpan WindowShortest { get; } = TimeSpan.FromMilliseconds(150);

    /// <summary>Longest sliding window that the PSE averages over.</summary>
    public static TimeSpan WindowLongest { get; } = TimeSpan.FromMilliseconds(300);

    /// <summary>Step in which PSE controllers report the result (TI TPS23880 data sheet, register 0x54).</summary>
    public static Power ResultStep { get; } = Power.FromWatts(0.5);

    /// <summary>Margin where the operator sets none: the standard's table was not at hand, 4 % of the measured watts and at least one step (common practice).</summary>
    public static Ratio DefaultMargin { get; } = Ratio.FromFraction(0.04);

    /// <summary>
    /// What the PSE reserves: the measured watts and a margin for age and heat, rounded up to a step, never more than the assigned class has.
    /// </summary>
    /// <param name="measuredAtPse">Highest mean over the window.</param>
    /// <param name="margin">0 or more.</param>
    public static Power ReserveAtPse(Power measuredAtPse, Ratio margin, PoeClass assigned)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(margin.Fraction);
        var withMargin = Power.Max(measuredAtPse * (1.0 + margin.Fraction), measuredAtPse + (margin.Fraction > 0.0 ? ResultStep : Power.Zero));
        var steps = Math.Ceiling((withMargin / ResultStep) - Rounding);
        return Power.Min(ResultStep * steps, PoeTables.LimitsOf(assigned, PoeClause.Clause145).PseMinimumOutput);
    }

    private const double Rounding = 1e-9; // 20.0 W are 40 steps, not 41, whatever a double makes of them.
}
