namespace PoeWatch.Monitoring.Polling;

/// <summary>Values of entPhySensorTable (ENTITY-SENSOR-MIB, RFC 3433) in the unit of their type. Pure.</summary>
internal static class EntityValues
{
    /// <summary>entPhySensorType: watts(6).</summary>
    public const long Watts = 6;

    /// <summary>entPhySensorType: celsius(8).</summary>
    public const long Celsius = 8;

    // entPhySensorValue: these and beyond mean underflow and overflow.
    private const long ValueEnd = 1_000_000_000;

    /// <summary>The value in whole units; null where its status is not ok(1), or it is beyond what the MIB takes for a value.</summary>
    /// <param name="value">entPhySensorValue.</param>
    /// <param name="scale">entPhySensorScale: yocto(1) to units(9) to yotta(17), in steps of a thousand.</param>
    /// <param name="precision">entPhySensorPrecision: 1 to 9 are decimals in the value; what is below says how accurate it is.</param>
    /// <param name="status">entPhySensorOperStatus.</param>
    public static double? InUnits(long? value, long? scale, long? precision, long? status) =>
        value is { } found && Math.Abs(found) < ValueEnd && status == 1 && Step(scale, precision) is { } step ? found * step : null;

    /// <summary>What one count of the value is worth.</summary>
    public static double? Step(long? scale, long? precision) =>
        scale is >= 1 and <= 17 && precision is >= -8 and <= 9 ? Math.Pow(10, (3 * (scale.Value - 9)) - Math.Max(precision.Value, 0)) : null;
}
