using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Worst parts that a channel may be put together from, and copper at a temperature. Pure and thread safe.</summary>
public static class ChannelResistance
{
    /// <summary>Worst conductor of a cord at 20 °C: 14 ohm per 100 m (ANSI/TIA-568.2-D, from memory).</summary>
    public static Resistance WorstCordPerMeter { get; } = Resistance.FromOhms(0.14);

    /// <summary>Worst contact: 0.2 ohm (ANSI/TIA-568.2-D, from memory).</summary>
    public static Resistance WorstContact { get; } = Resistance.FromOhms(0.2);

    private const double ReferenceCelsius = 20.0;

    /// <summary>Resistance of copper at a temperature, from that at 20 °C.</summary>
    public static Resistance Warm(Resistance at20Celsius, Temperature conductor) =>
        at20Celsius * (1.0 + (CableResistance.PerDegree * (conductor.Celsius - ReferenceCelsius)));
}
