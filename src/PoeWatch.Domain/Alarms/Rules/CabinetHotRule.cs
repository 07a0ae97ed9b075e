using System.Globalization;
using PoeWatch.Domain.Conditions;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>A thermometer that the design puts into a cabinet shows more than what stands in there is commonly made for.</summary>
internal static class CabinetHotRule
{
    // Outdoor switches and supplies are commonly rated to 70 or 75 °C, and supplies give less from 60 °C: common practice, no source.
    public const double EarlyCelsius = 60;
    public const double LateCelsius = 70;

    private const string NextSteps =
        "1. See whether fan and filter of the cabinet are free and it stands in the sun. 2. Compare with the switch's own temperature: the thermometer may hang in the wrong place. 3. Where it stays hot, "
        + "shed load behind the switch before it sheds by itself. Cabinets hold mains: open them only with licensed people under the local code, and a hot cabinet may burn.";

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        var readings = (input.Site.Conditions?.Thermometers ?? []).ToDictionary(r => r.ThermometerId, StringComparer.Ordinal);
        foreach (var thermometer in input.Design.Conditions.Thermometers.Where(t => t.Cabinet is not null))
        {
            if (Shown(readings.GetValueOrDefault(thermometer.Id), input.Site.At) is not { } celsius
                || LateCelsius - celsius >= input.Timings.For(AlarmTypes.CabinetHot).ClearsAt(LateCelsius - EarlyCelsius))
            {
                continue;
            }

            AlarmLevel[] levels = [new(AlarmSeverity.Minor, LateCelsius - EarlyCelsius), new(AlarmSeverity.Major, 0)];
            var text = string.Create(
                CultureInfo.InvariantCulture,
                $"Cabinet {thermometer.Cabinet} is hot: {celsius:0.0} °C (measured by thermometer {thermometer.Id} of {thermometer.PseId}); told from {EarlyCelsius:0} °C, major from {LateCelsius:0} °C (common ratings of outdoor switches and supplies, common practice).");
            yield return RuleInput.Levelled(Key(thermometer), LateCelsius - celsius, levels, text, NextSteps);
        }
    }

    /// <summary>False where a cabinet's thermometer shows nothing now; null for keys of other rules.</summary>
    public static bool? IsKnown(AlarmKey key, RuleInput input) => key.Type != AlarmTypes.CabinetHot ? null
        : input.Design.Conditions.Thermometers.FirstOrDefault(t => t.Cabinet is not null && Key(t) == key) is not { } thermometer
            || Shown(input.Site.Conditions?.Thermometers.FirstOrDefault(r => r.ThermometerId == thermometer.Id), input.Site.At) is not null;

    private static double? Shown(ThermometerReading? reading, DateTimeOffset now) => reading?.ShownAt(now)?.Celsius;

    private static AlarmKey Key(Thermometer thermometer) => new(AlarmResources.Cabinet(thermometer.Cabinet!, thermometer.Id), AlarmTypes.CabinetHot);
}
