using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Categories of cable that bundle heating was published for.</summary>
public enum BundledCable
{
    Unknown = 0,
    Category5e = 1,
    Category6 = 2,
    Category6A = 3,
}

/// <summary>What warms a cable: its own current, its neighbours in the bundle, the sun on its conduit. Pure and thread safe.</summary>
public static class CableHeat
{
    /// <summary>Conductors of a cable in a pole's conduit in the sun, where nobody measured (common practice, no source).</summary>
    public static Temperature SunHeatedConduit { get; } = Temperature.FromCelsius(60.0);

    /// <summary>Degrees above the surroundings that a bundle should not exceed: 15 (TSB-184-A, as reported by the trade press).</summary>
    public const double LargestRise = 15.0;

    /// <summary>Cables that a bundle should not exceed: 24 (TSB-184-A, as reported by the trade press).</summary>
    public const int LargestBundle = 24;

    /// <summary>The fit lies up to 0.65 degrees below single measurements (category 6A at 0.75 A), so a warning reckons with one degree more.</summary>
    public const double FitMargin = 1.0;

    /// <summary>Cables of the bundles that the fit was made on: about 100.</summary>
    public const int PublishedBundle = 100;

    private const int Conductors = 8;

    /// <summary>
    /// Degrees that the middle of a bundle of about 100 cables is warmer than its surroundings, all pairs powered: k times the square of the amperes. Vaden, contribution
    /// to IEEE 802.3bt on cable heating: k = 20, 15, 12 for categories 5e, 6, 6A.
    /// </summary>
    /// <param name="perPair">Over each pair.</param>
    public static double BundleRise(BundledCable cable, Current perPair) => DegreesPerSquareAmpere(cable) * perPair.Amperes * perPair.Amperes;

    /// <summary>Degrees that a segment's current warms it in its bundle; 0 where the design names none.</summary>
    /// <param name="overAllPairs">All powered pairs together.</param>
    public static double Rise(CableSegment segment, Current overAllPairs) => DegreesPerSquareAmpere(segment) * overAllPairs.Amperes * overAllPairs.Amperes;

    /// <summary>
    /// Degrees for each square ampere over all pairs together. The published rise is for all four pairs and about 100 cables; heat scales with the pairs that carry power,
    /// with the ohms of a thinner or worse conductor, and with the square root of the number of cables.
    /// </summary>
    /// <remarks>
    /// The root is a bound, derived and not published: inside a bundle the rise grows with the number of cables, at its surface with the root of it, so any mix of both that is right at
    /// 100 cables lies below the root for fewer.
    /// </remarks>
    internal static double DegreesPerSquareAmpere(CableSegment segment)
    {
        var installation = segment.Installation;
        if (installation.BundledCables <= 0)
        {
            return 0.0;
        }

        // Over four pairs each carries half of all amperes; over two pairs each carries all of them, and half of the pairs stay cold.
        var ofPairs = segment.Pairs == 4 ? 0.25 : 0.5;
        var ofCables = Math.Sqrt((double)installation.BundledCables / PublishedBundle);
        return DegreesPerSquareAmpere(installation.BundleCategory) * ofPairs * ofCables * WorseThanCategory(segment);
    }

    private static double DegreesPerSquareAmpere(BundledCable cable) => cable switch
    {
        BundledCable.Category5e => 20.0,
        BundledCable.Category6 => 15.0,
        BundledCable.Category6A => 12.0,
        _ => throw new ArgumentOutOfRangeException(nameof(cable), cable, "Category 5e, 6 or 6A."),
    };

    // The cables measured were of their category's usual gauge: 24 AWG for 5e, 23 AWG for the others (common practice, no source). Thicker ones are not credited.
    private static double WorseThanCategory(CableSegment segment)
    {
        var usual = CableResistance.PerMeter(segment.Installation.BundleCategory == BundledCable.Category5e ? 24 : 23, default);
        var factor = CableResistance.PerMeter(segment.GaugeAwg, default) / usual;
        return Math.Max(1.0, segment.Material == ConductorMaterial.CopperCladAluminium ? factor * CableResistance.CopperCladFactor : factor);
    }

    /// <summary>Heat of each metre of a cable with all eight conductors powered.</summary>
    /// <param name="perConductor">A quarter of the current over four pairs.</param>
    /// <param name="perMeter">One conductor.</param>
    public static Power PerMeter(Current perConductor, Resistance perMeter) => perConductor * (perConductor * perMeter) * Conductors;
}
