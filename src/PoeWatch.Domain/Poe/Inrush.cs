using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// What flows while a PD fills its input capacitor, and how long the PSE lets it. All limits from memory (IEEE 802.3 clauses 33 and 145) save where said.
/// Pure and thread safe.
/// </summary>
public static class Inrush
{
    /// <summary>Least amperes that a PSE holds an inrush to, over one pairset.</summary>
    public static Current PseLimitLowest { get; } = Current.FromAmperes(0.400);

    /// <summary>Most amperes over one pairset, or over both where a PD of classes 1 to 4 is fed over four pairs.</summary>
    public static Current PseLimitHighest { get; } = Current.FromAmperes(0.450);

    /// <summary>Most amperes over both pairsets for classes 5 to 8.</summary>
    public static Current PseLimitHighestFourPair { get; } = Current.FromAmperes(0.900);

    /// <summary>A PSE ends an inrush no sooner.</summary>
    public static TimeSpan TimerShortest { get; } = TimeSpan.FromMilliseconds(50);

    /// <summary>A PSE ends an inrush no later (also: Maniktala, PoE Interoperability Guide, chapter 5).</summary>
    public static TimeSpan TimerLongest { get; } = TimeSpan.FromMilliseconds(75);

    /// <summary>Until then a PD of Type 2 stays within class 3's current (Maniktala, PoE Interoperability Guide, chapter 5).</summary>
    public static TimeSpan FullPowerNotBefore { get; } = TimeSpan.FromMilliseconds(80);

    /// <summary>Most amperes that a PSE lets a PD of a class start with.</summary>
    public static Current LimitOf(PoeClass assigned) => assigned > PoeClass.Class4 ? PseLimitHighestFourPair : PseLimitHighest;

    /// <summary>Watts that a starting port can take out of its supply for at most <see cref="TimerLongest"/>: 24.3 W per pairset at 54 V.</summary>
    public static Power WorstAtPse(PoeClass assigned, Voltage pse) => LimitOf(assigned) * pse;

    /// <summary>Watts that all ports of a cold start take together at one moment, where the PSE starts this many at once.</summary>
    /// <param name="atOnce">0 or more.</param>
    public static Power WorstTogether(PoeClass assigned, Voltage pse, int atOnce)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(atOnce);
        return WorstAtPse(assigned, pse) * atOnce;
    }
}
