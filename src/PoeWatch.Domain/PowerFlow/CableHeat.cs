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

    private const int Conductors = 8;

    /// <summary>
    /// Degrees that the middle of a bundle of about 100 cables is warmer than its surroundings, all pairs powered: k times the square of the amperes. Vaden, contribution
    /// to IEEE 802.3bt on cable heating: k = 20, 15, 12 for categories 5e, 6, 6A.
    /// </summary>
    /// <param name="perPair">Over each pair.</param>
    public static double BundleRise(BundledCable cable, Current perPair)
    {
        var degreesPerSquareAmpere = cable switch
        {
            BundledCable.Category5e => 20.0,
            BundledCable.Category6 => 15.0,
            BundledCable.Category6A => 12.0,
            _ => throw new ArgumentOutOfRangeException(nameof(cable), cable, "Category 5e, 6 or 6A."),
        };
        return degreesPerSquareAmpere * perPair.Amperes * perPair.Amperes;
    }

    /// <summary>True where a bundle may get warmer than it should, the uncertainty of the fit counted.</summary>
    public static bool IsTooWarm(BundledCable cable, Current perPair) => BundleRise(cable, perPair) + FitMargin > LargestRise;

    /// <summary>Temperature of the conductors in the middle of a bundle.</summary>
    public static Temperature InBundle(Temperature surroundings, BundledCable cable, Current perPair) =>
        Temperature.FromCelsius(surroundings.Celsius + BundleRise(cable, perPair));

    /// <summary>Heat of each metre of a cable with all eight conductors powered.</summary>
    /// <param name="perConductor">A quarter of the current over four pairs.</param>
    /// <param name="perMeter">One conductor.</param>
    public static Power PerMeter(Current perConductor, Resistance perMeter) => perConductor * (perConductor * perMeter) * Conductors;
}
