using System.Globalization;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Polling.Thermometers;

/// <summary>One row of entPhySensorTable as an agent sent it; null where it did not.</summary>
/// <param name="Units">entPhySensorUnitsDisplay.</param>
public readonly record struct ThermometerRow(long? Kind, long? Scale, long? Precision, long? Shown, long? Status, string? Units);

/// <summary>Turns a row of RFC 3433 into degrees Celsius, or says why it is none. Pure.</summary>
public static class ThermometerDecoder
{
    // What an outdoor thermometer, or one in a cabinet in the sun, can show: common practice, no source. Beyond it the scale is wrong.
    private const double CelsiusMin = -90;
    private const double CelsiusMax = 120;

    /// <summary>The temperature, or null with the reason for people.</summary>
    public static Temperature? Decode(ThermometerRow row, out string problem)
    {
        problem = Fault(row);
        if (problem.Length > 0)
        {
            return null;
        }

        var celsius = Celsius(row)!.Value;
        if (celsius is >= CelsiusMin and <= CelsiusMax)
        {
            return Temperature.FromCelsius(celsius);
        }

        problem = string.Create(
            CultureInfo.InvariantCulture,
            $"It shows {celsius:0.###} C, which no air has: value {row.Shown}, scale {row.Scale}, precision {row.Precision}. Report it to the maker of the agent.");
        return null;
    }

    private static double? Celsius(ThermometerRow row) => EntityValues.InUnits(row.Shown, row.Scale, row.Precision, row.Status);

    private static string Fault(ThermometerRow row) => row switch
    {
        { Kind: null, Shown: null } => "The agent has no such row in ENTITY-SENSOR-MIB (1.3.6.1.2.1.99). Check index or name, and that the credentials may see that tree.",
        { Status: not null and not 1 } => row.Status == 2 ? "The agent says that it is unavailable just now." : "The agent says that it is broken. Replace it.",
        { Status: null } => "The agent does not say whether it works.",
        { Kind: not EntityValues.Celsius } => $"It shows no degrees Celsius but '{row.Units ?? "another unit"}' (type {row.Kind}). Name another row.",
        _ when EntityValues.Step(row.Scale, row.Precision) is null => "The agent gives no lawful scale and precision with it (RFC 3433).",
        _ when Celsius(row) is null => "The agent shows no value, or one out of its range.",
        _ => "",
    };
}
