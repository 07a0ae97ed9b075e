using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// Resistance of a segment's power path. A pairset sends current down two conductors side by side and back on two, so a loop over two
/// pairs has the resistance of one conductor, over four pairs half of it. Pure and thread safe.
/// </summary>
public static class CableResistance
{
    /// <summary>Change per degree of soft copper, about 20 °C: the value for annealed copper, from memory (NBS Handbook 100).</summary>
    public const double PerDegree = 0.00393;

    /// <summary>Copper-clad aluminium against copper: 55 to 60 % more (cable vendors' notes); the worse end.</summary>
    public const double CopperCladFactor = 1.60;

    /// <summary>Longest segment: 90 m of cable and 10 m of cords (ISO/IEC 11801 and ANSI/TIA-568 channel).</summary>
    public static Length LongestSegment { get; } = Length.FromMeters(100.0);

    private const double ReferenceCelsius = 20.0;

    // Solid copper at 20 °C, ohm per metre of one conductor: wire table of Floyd at HyperPhysics, 16.14, 20.36, 25.67 and 40.81 ohm per
    // 1000 ft (the values of ASTM B258).
    private const double Awg22 = 0.05296;
    private const double Awg23 = 0.06679;
    private const double Awg24 = 0.08422;
    private const double Awg26 = 0.1339;

    /// <summary>Ohms of one metre of one copper conductor.</summary>
    /// <param name="gaugeAwg">22, 23, 24 or 26.</param>
    public static Resistance PerMeter(int gaugeAwg, Temperature conductor)
    {
        var cold = gaugeAwg switch
        {
            22 => Awg22,
            23 => Awg23,
            24 => Awg24,
            26 => Awg26,
            _ => throw new ArgumentOutOfRangeException(nameof(gaugeAwg), gaugeAwg, "Gauges 22, 23, 24 and 26 AWG are known."),
        };
        return Resistance.FromOhms(cold * Warmth(conductor));
    }

    /// <summary>
    /// Loop of a segment in an operating mode, for a feed of Type 2 or higher. Guaranteed takes the larger of the designed (or measured)
    /// loop and the standard's worst channel in proportion to the length: a cable better than the standard asks for is no promise.
    /// </summary>
    public static Resistance Of(CableSegment segment, OperatingMode mode) => Of(segment, mode, PoeType.Type2);

    /// <summary>As <see cref="Of(CableSegment, OperatingMode)"/>, for a feed of that type: the channel of Type 1 is a worse one.</summary>
    public static Resistance Of(CableSegment segment, OperatingMode mode, PoeType feed) => Of(segment, mode, feed, Current.Zero);

    /// <summary>The same while a current over all pairs together warms the segment's bundle.</summary>
    public static Resistance Of(CableSegment segment, OperatingMode mode, PoeType feed, Current overAllPairs) =>
        Resistance.FromOhms(LawOf(segment, mode, feed).OhmsAt(overAllPairs.Amperes));

    internal static SegmentLaw LawOf(CableSegment segment, OperatingMode mode, PoeType feed)
    {
        var least = mode switch
        {
            OperatingMode.Expected => Resistance.Zero,
            OperatingMode.Guaranteed => WorstChannel(segment, feed),
            _ => throw new ArgumentOutOfRangeException(nameof(mode), mode, "Say which operating mode."),
        };
        var copper = CopperAtDesign(segment);
        var rest = segment.MeasuredLoop is null ? CordsAndContacts(segment.Installation) : Resistance.Zero;
        var sideBySide = segment.Pairs == 4 ? 2.0 : 1.0;
        var degrees = CableHeat.DegreesPerSquareAmpere(segment);
        var warmed = degrees > 0.0 ? CopperAt20(segment) * (PerDegree * degrees) : Resistance.Zero;
        return new SegmentLaw((copper + rest).Ohms / sideBySide, warmed.Ohms / sideBySide, least.Ohms, degrees);
    }

    /// <summary>
    /// One conductor from end to end: measured loop where somebody measured it (cords and contacts are in it), else from gauge, length, material, at the design's temperature.
    /// </summary>
    private static Resistance CopperAtDesign(CableSegment segment)
    {
        if (segment.MeasuredLoop is not { } tester)
        {
            var copper = PerMeter(segment.GaugeAwg, segment.Conductor) * segment.Length.Meters;
            return segment.Material == ConductorMaterial.CopperCladAluminium ? copper * CopperCladFactor : copper;
        }

        var conductor = tester / 2.0;
        if (segment.Installation.MeasuredAt is null)
        {
            return conductor; // It counts as it is.
        }

        return conductor - MeasuredCopper(segment, tester) + (CopperAt20(segment) * Warmth(segment.Conductor));
    }

    /// <summary>One conductor of the cable alone at 20 °C. A measured loop of which no temperature is said counts as measured there.</summary>
    private static Resistance CopperAt20(CableSegment segment)
    {
        if (segment.MeasuredLoop is { } tester)
        {
            return MeasuredCopper(segment, tester) / Warmth(segment.Installation.MeasuredAt ?? Temperature.FromCelsius(ReferenceCelsius));
        }

        return CopperAtDesign(segment) / Warmth(segment.Conductor);
    }

    /// <summary>What of a measured conductor warms with the cable: neither contacts nor cords, where they are written.</summary>
    private static Resistance MeasuredCopper(CableSegment segment, Resistance tester) =>
        Resistance.Max(Resistance.Zero, (tester / 2.0) - CordsAndContacts(segment.Installation));

    private static Resistance CordsAndContacts(CableInstallation installation) =>
        installation.CordConductor + (installation.PerContact * installation.Contacts);

    private static double Warmth(Temperature conductor) => 1.0 + (PerDegree * (conductor.Celsius - ReferenceCelsius));

    private static Resistance WorstChannel(CableSegment segment, PoeType feed)
    {
        // A feed outside the standard still runs over a standard channel.
        var limits = PoeTables.LimitsOf(feed) ?? PoeTables.LimitsOf(PoeType.Type2)!.Value;
        return limits.ChannelLoop(segment.Pairs) * (segment.Channel / LongestSegment);
    }
}
