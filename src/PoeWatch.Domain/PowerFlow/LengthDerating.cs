using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// How long a cable may be where it is warm, so that <em>data</em> still passes: attenuation grows with warmth, so the 90 m at 20 °C get fewer. Cords of 10 m are kept at 20 °C.
/// Power has a limit of its own, the resistance. Pure and thread safe.
/// </summary>
public static class LengthDerating
{
    private const double Cold = 20.0;
    private const double Step = 5.0;
    private const double Hot = 60.0;
    private const double LongestMeters = 90.0;

    // ANSI/TIA-568-C.2 Annex G, unscreened cable, 20 to 60 °C in steps of 5, from memory; 84 m at 40 °C: a maker of cable testers, knowledge base.
    private static readonly ImmutableArray<double> s_unscreened = [LongestMeters, 89.0, 87.0, 85.5, 84.0, 81.7, 79.5, 77.2, 75.0];

    // ANSI/TIA-568-C.2 clause 6.4.7, as quoted in IEEE 802.3 4PPoE mail msg00302: attenuation per degree.
    private const double ScreenedPerDegree = 0.002;
    private const double UnscreenedHotPerDegree = 0.006;
    private const double UnscreenedAtHot = 1.2; // 20 degrees at 0.4 % and 20 at 0.6 %.

    /// <summary>Longest fixed cable at a temperature. Up to 20 °C it is 90 m; above 60 °C, beyond the table, the last rate goes on.</summary>
    public static Length LongestCable(Temperature cable, bool isScreened)
    {
        if (cable.Celsius <= Cold)
        {
            return Length.FromMeters(LongestMeters);
        }

        if (isScreened)
        {
            return Length.FromMeters(LongestMeters / (1.0 + (ScreenedPerDegree * (cable.Celsius - Cold))));
        }

        if (cable.Celsius >= Hot)
        {
            return Length.FromMeters(LongestMeters / (UnscreenedAtHot + (UnscreenedHotPerDegree * (cable.Celsius - Hot))));
        }

        var steps = (cable.Celsius - Cold) / Step;
        var below = (int)steps;
        return Length.FromMeters(s_unscreened[below] + ((s_unscreened[below + 1] - s_unscreened[below]) * (steps - below)));
    }
}
