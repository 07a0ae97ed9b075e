using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// The tables of IEEE 802.3 that power over Ethernet is built on, per class and clause and per type. Each row names where its numbers
/// were read; the standard's own tables were not at hand. Pure and thread safe.
/// </summary>
public static class PoeTables
{
    private const string Overview = "Ethernet Alliance, overview of IEEE 802.3bt (2018), class table";
    private const string Type1Sheet = "TI TPS2378 data sheet, Table 1; IEEE 802.3 clause 33";
    private const string Type2Sheet = "TI TPS2379 data sheet, Table 2; IEEE 802.3 clause 33";
    private const string FromMemory = "IEEE 802.3 clause 145, from memory; follows from 50 V and 12.5 ohm";
    private const string Pairsets = "; amperes per pairset: Fiber Optic Association, PoE overview";

    private static readonly ImmutableArray<ClassLimits> s_clause33 =
    [
        Row(PoeClass.Class0, PoeClause.Clause33, 15.4, 12.95, Type1Sheet),
        Row(PoeClass.Class1, PoeClause.Clause33, 4.0, 3.84, Overview),
        Row(PoeClass.Class2, PoeClause.Clause33, 7.0, 6.49, Overview),
        Row(PoeClass.Class3, PoeClause.Clause33, 15.4, 12.95, Type2Sheet),
        Row(PoeClass.Class4, PoeClause.Clause33, 30.0, 25.5, Type2Sheet),
    ];

    // Clause 145 knows no class 0 of its own: a PSE treats such a PD as class 3.
    private static readonly ImmutableArray<ClassLimits> s_clause145 =
    [
        Row(PoeClass.Class0, PoeClause.Clause145, 14.0, 13.0, FromMemory),
        Row(PoeClass.Class1, PoeClause.Clause145, 4.0, 3.84, Overview),
        Row(PoeClass.Class2, PoeClause.Clause145, 6.7, 6.49, FromMemory),
        Row(PoeClass.Class3, PoeClause.Clause145, 14.0, 13.0, FromMemory),
        Row(PoeClass.Class4, PoeClause.Clause145, 30.0, 25.5, Overview),
        Row(PoeClass.Class5, PoeClause.Clause145, 45.0, 40.0, Overview),
        Row(PoeClass.Class6, PoeClause.Clause145, 60.0, 51.0, Overview),
        Row(PoeClass.Class7, PoeClause.Clause145, 75.0, 62.0, Overview),
        Row(PoeClass.Class8, PoeClause.Clause145, 90.0, 71.3, Overview),
    ];

    private static readonly ImmutableArray<TypeLimits> s_types =
    [
        // PSE and PD windows and the 20 and 12.5 ohm loops of Types 1 and 2: TPS2379 Table 2.
        Row(PoeType.Type1, PoeClause.Clause33, 44, 37, 0.350, 0.350, 20.0, PoeClass.Class3, null, Type2Sheet + Pairsets),
        Row(PoeType.Type2, PoeClause.Clause33, 50, 42.5, 0.600, 0.600, 12.5, PoeClass.Class4, null, Type2Sheet + Pairsets),

        // Loops of Types 3 and 4 from memory; they close with the windows: 50 V - 1.2 A x 6.25 ohm = 42.5 V.
        Row(PoeType.Type3, PoeClause.Clause145, 50, 42.5, 0.600, 1.200, 12.5, PoeClass.Class6, null,
            "injector maker's class and type table" + Pairsets + "; loop from memory"),

        // 99.9 W and 1.92 A: IEEE 802.3-2022 Tables 145-16 and 145-1 as quoted by the Linux kernel, include/linux/pse-pd/pse.h.
        Row(PoeType.Type4, PoeClause.Clause145, 52, 41.1, 0.960, 1.920, 12.5, PoeClass.Class8, 99.9,
            "injector maker's class and type table; IEEE 802.3-2022 Tables 145-1 and 145-16 as quoted by Linux pse.h; loop from memory"),
    ];

    /// <summary>The clause that a type belongs to; unknown for equipment outside the standard.</summary>
    public static PoeClause ClauseOf(PoeType type) => type switch
    {
        PoeType.Type1 or PoeType.Type2 => PoeClause.Clause33,
        PoeType.Type3 or PoeType.Type4 => PoeClause.Clause145,
        _ => PoeClause.Unknown,
    };

    /// <summary>The limits of a type; null for equipment outside the standard (<see cref="PoeType.Unknown"/>), which has none.</summary>
    public static TypeLimits? LimitsOf(PoeType type) =>
        type is >= PoeType.Type1 and <= PoeType.Type4 ? s_types[(int)type - 1] : null;

    /// <summary>The row of a class in one clause.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The clause does not know the class: clause 33 ends at class 4.</exception>
    public static ClassLimits LimitsOf(PoeClass poeClass, PoeClause clause)
    {
        var rows = clause == PoeClause.Clause33 ? s_clause33 : s_clause145;
        var known = clause != PoeClause.Unknown && (int)poeClass >= 0 && (int)poeClass < rows.Length;
        return known
            ? rows[(int)poeClass]
            : throw new ArgumentOutOfRangeException(nameof(poeClass), poeClass, $"Not a class of {clause}.");
    }

    /// <summary>The row of a class as a PSE of that type sees it: classes 5 to 8 exist in clause 145 only, whatever feeds them.</summary>
    public static ClassLimits LimitsOf(PoeClass poeClass, PoeType pseType) =>
        LimitsOf(poeClass, poeClass > PoeClass.Class4 || ClauseOf(pseType) == PoeClause.Clause145 ? PoeClause.Clause145 : PoeClause.Clause33);

    /// <summary>The lowest type that a PD of the class may be: it decides the volts that the PD must work from.</summary>
    public static PoeType PdTypeOf(PoeClass requested) => requested switch
    {
        <= PoeClass.Class3 => PoeType.Type1,
        PoeClass.Class4 => PoeType.Type2,
        <= PoeClass.Class6 => PoeType.Type3,
        _ => PoeType.Type4,
    };

    /// <summary>
    /// The ceiling, at the PSE, for a PD that holds to its class: the higher of the two clauses, because a bound that is too low would lie.
    /// </summary>
    public static Power ClassBoundAtPse(PoeClass poeClass) =>
        poeClass > PoeClass.Class4
            ? LimitsOf(poeClass, PoeClause.Clause145).PseMinimumOutput
            : Power.Max(LimitsOf(poeClass, PoeClause.Clause33).PseMinimumOutput, LimitsOf(poeClass, PoeClause.Clause145).PseMinimumOutput);

    /// <summary>The highest class that a port of this limit and type can grant; null where it is too weak for any or outside the standard.</summary>
    public static PoeClass? HighestGrantable(Power limit, PoeType type)
    {
        if (LimitsOf(type) is not { } limits)
        {
            return null;
        }

        for (var candidate = limits.MaximumClass; candidate >= PoeClass.Class1; candidate--)
        {
            if (limit >= LimitsOf(candidate, type).PseMinimumOutput)
            {
                return candidate;
            }
        }

        return null;
    }

    /// <summary>
    /// The type of a port or output that only its watts are known of: the lowest type that may give so much. Watts between two types are a port of the higher one
    /// that was set lower: 20 W are more than Type 1 ever gives.
    /// </summary>
    public static PoeType TypeForOutput(Power limit) => limit.Watts switch
    {
        <= 15.4 => PoeType.Type1,
        <= 30.0 => PoeType.Type2,
        <= 60.0 => PoeType.Type3,
        _ => PoeType.Type4,
    };

    /// <summary>Reads pethPsePortPowerClassifications of RFC 3621: class0(1) to class4(5); null for any other number.</summary>
    public static PoeClass? ClassFromRfc3621(long value) => value is >= 1 and <= 5 ? (PoeClass)(value - 1) : null;

    private static ClassLimits Row(PoeClass poeClass, PoeClause clause, double pseWatts, double pdWatts, string source) =>
        new(poeClass, clause, Power.FromWatts(pseWatts), Power.FromWatts(pdWatts), source);

    private static TypeLimits Row(
        PoeType type, PoeClause clause, double pseVolts, double pdVolts, double pairsetAmperes, double totalAmperes, double loopOhms,
        PoeClass maximumClass, double? portWatts, string source) => new(
            type,
            clause,
            Voltage.FromVolts(pseVolts),
            Voltage.FromVolts(HighestVolts),
            Voltage.FromVolts(pdVolts),
            Voltage.FromVolts(HighestVolts),
            Current.FromAmperes(pairsetAmperes),
            Current.FromAmperes(totalAmperes),
            Resistance.FromOhms(loopOhms),
            maximumClass,
            portWatts is { } watts ? Power.FromWatts(watts) : null,
            source);

    private const double HighestVolts = 57.0; // TPS2379 Table 2, all types.
}
