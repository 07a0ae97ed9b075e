using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// When a PSE takes power off because too much flows: a current that it may cut after a while (ICUT), one that it never lets through (ILIM), and how long it waits. Pure and
/// thread safe.
/// </summary>
/// <remarks>Modern PSE controllers police watts in steps of half a watt, not amperes, and trip a little above what they are set to (TI TPS23880, registers 0x1E to 0x21).</remarks>
public static class Overload
{
    /// <summary>A PSE may cut an overload off no sooner: 50 ms (IEEE 802.3 clause 33.2.7, from memory; TI TPS2388 data sheet, default 50 to 70 ms).</summary>
    public static TimeSpan CutShortest { get; } = TimeSpan.FromMilliseconds(50);

    /// <summary>A PSE must have cut an overload off: 75 ms (IEEE 802.3 clause 33.2.7, from memory).</summary>
    public static TimeSpan CutLongest { get; } = TimeSpan.FromMilliseconds(75);

    /// <summary>A short circuit at full current lasts no longer where a controller feeds Types 1 and 2: 70 ms (TI TPS2388 data sheet).</summary>
    public static TimeSpan LimitLongest { get; } = TimeSpan.FromMilliseconds(70);

    /// <summary>The same where it feeds more: 15 ms (TI TPS2388 data sheet, 15, 12 or 10 ms).</summary>
    public static TimeSpan LimitLongestHighPower { get; } = TimeSpan.FromMilliseconds(15);

    /// <summary>After an overload a PSE feeds again no sooner: 0.75 s (IEEE 802.3 clause 33.2.7, from memory).</summary>
    public static TimeSpan ErrorDelayShortest { get; } = TimeSpan.FromSeconds(0.75);

    /// <summary>Step in which PSE controllers are set (TI TPS23880 and TPS23881 data sheets, registers 0x1E to 0x21).</summary>
    public static Power PolicingStep { get; } = Power.FromWatts(0.5);

    // IEEE 802.3 clause 33, from memory: 400 mA for Type 1, 1.14 times the pairset's 600 mA for Type 2.
    private const double LimitType1 = 0.400;
    private const double LimitFactor = 1.14;

    /// <summary>ICUT: the current above which a PSE may take power off, the class's watts over its volts (IEEE 802.3 clause 33.2.7, from memory).</summary>
    /// <param name="pse">Volts at the PSE, above 0.</param>
    public static Current CutAt(PoeClass assigned, PoeType pseType, Voltage pse) => PoeTables.LimitsOf(assigned, pseType).PseMinimumOutput / pse;

    /// <summary>ILIM: what a PSE lets through at least before it limits, over one pairset. Types 3 and 4 limit as Type 2 does, from their own pairset current (from memory).</summary>
    /// <returns>Null outside the standard.</returns>
    public static Current? LimitAtLeast(PoeType pseType) => PoeTables.LimitsOf(pseType) switch
    {
        null => null,
        { Type: PoeType.Type1 } => Current.FromAmperes(LimitType1),
        { } limits => limits.PairsetMaximumCurrent * LimitFactor,
    };
}
