using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>One channel as it is installed: cable, cords and the contacts between them. Immutable; <c>default</c> is no channel at all.</summary>
/// <param name="Cable">Length of the fixed cable.</param>
/// <param name="CablePerMeter">One conductor of it at 20 °C.</param>
/// <param name="CableTemperature">Of its conductors.</param>
/// <param name="Cords">Length of all patch cords together.</param>
/// <param name="CordPerMeter">One conductor of them at 20 °C.</param>
/// <param name="CordTemperature">Of their conductors.</param>
/// <param name="Contacts">Plugs and sockets that a conductor passes, 0 or more.</param>
public readonly record struct ChannelParts(
    Length Cable,
    Resistance CablePerMeter,
    Temperature CableTemperature,
    Length Cords,
    Resistance CordPerMeter,
    Temperature CordTemperature,
    int Contacts)
{
    /// <summary>The longest channel of the worst parts: 90 m of cable, 10 m of cords, four contacts.</summary>
    public static ChannelParts Worst(Temperature cable, Temperature cords) => new(
        Length.FromMeters(90.0), ChannelResistance.WorstCablePerMeter, cable,
        Length.FromMeters(10.0), ChannelResistance.WorstCordPerMeter, cords,
        Contacts: 4);
}

/// <summary>
/// Resistance of a channel from its parts, and of a pair as a tester prints it. Warmth counts for the copper, not for the contacts. Pure and thread safe.
/// </summary>
public static class ChannelResistance
{
    /// <summary>Worst conductor of a cable at 20 °C: 9.38 ohm per 100 m (ANSI/TIA-568.2-D, from memory).</summary>
    public static Resistance WorstCablePerMeter { get; } = Resistance.FromOhms(0.0938);

    /// <summary>Worst conductor of a cord at 20 °C: 14 ohm per 100 m (ANSI/TIA-568.2-D, from memory).</summary>
    public static Resistance WorstCordPerMeter { get; } = Resistance.FromOhms(0.14);

    /// <summary>Worst contact: 0.2 ohm (ANSI/TIA-568.2-D, from memory).</summary>
    public static Resistance WorstContact { get; } = Resistance.FromOhms(0.2);

    /// <summary>Most that a tester may read for one pair, there and back: 25 ohm (ISO/IEC 11801 class D and up, from memory).</summary>
    public static Resistance TesterLimit { get; } = Resistance.FromOhms(25.0);

    private const double ReferenceCelsius = 20.0;

    /// <summary>Loop of the power path over 2 or 4 pairs.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Neither 2 nor 4 pairs, or fewer contacts than none.</exception>
    public static Resistance Of(ChannelParts parts, int pairs)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(parts.Contacts, nameof(parts));
        var conductor = (Warm(parts.CablePerMeter, parts.CableTemperature) * parts.Cable.Meters)
            + (Warm(parts.CordPerMeter, parts.CordTemperature) * parts.Cords.Meters)
            + (WorstContact * parts.Contacts);

        // Over two pairs two conductors lie side by side each way, over four pairs four.
        return pairs switch
        {
            2 => conductor,
            4 => conductor / 2.0,
            _ => throw new ArgumentOutOfRangeException(nameof(pairs), pairs, "Power flows over 2 or 4 pairs."),
        };
    }

    /// <summary>Resistance of copper at a temperature, from that at 20 °C.</summary>
    public static Resistance Warm(Resistance at20Celsius, Temperature conductor) =>
        at20Celsius * (1.0 + (CableResistance.PerDegree * (conductor.Celsius - ReferenceCelsius)));

    /// <summary>What a tester reads for one pair of a cable, there and back: twice one conductor.</summary>
    public static Resistance TesterLoop(int gaugeAwg, Length length, Temperature conductor) =>
        CableResistance.PerMeter(gaugeAwg, conductor) * (2.0 * length.Meters);

    /// <summary>True where a pair's loop is within the limit of a channel.</summary>
    public static bool IsWithinTesterLimit(Resistance testerLoop) => testerLoop <= TesterLimit;
}
