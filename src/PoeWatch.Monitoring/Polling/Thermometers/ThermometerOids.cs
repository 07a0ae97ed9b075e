using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Thermometers;

/// <summary>Objects of a temperature: RFC 6933 (ENTITY-MIB) and RFC 3433 (ENTITY-SENSOR-MIB), all by entPhysicalIndex.</summary>
public static class ThermometerOids
{
    /// <summary>entPhysicalName.</summary>
    public static Oid PhysicalName { get; } = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1.7");

    /// <summary>entPhySensorType: celsius(8).</summary>
    public static Oid Kind { get; } = Oid.Parse("1.3.6.1.2.1.99.1.1.1.1");

    /// <summary>entPhySensorScale: yocto(1) … units(9) … yotta(17), in steps of a thousand.</summary>
    public static Oid Scale { get; } = Oid.Parse("1.3.6.1.2.1.99.1.1.1.2");

    /// <summary>entPhySensorPrecision: 1 to 9 are decimals in the value.</summary>
    public static Oid Precision { get; } = Oid.Parse("1.3.6.1.2.1.99.1.1.1.3");

    /// <summary>entPhySensorValue.</summary>
    public static Oid Shown { get; } = Oid.Parse("1.3.6.1.2.1.99.1.1.1.4");

    /// <summary>entPhySensorOperStatus: ok(1), unavailable(2), nonoperational(3).</summary>
    public static Oid Status { get; } = Oid.Parse("1.3.6.1.2.1.99.1.1.1.5");

    /// <summary>entPhySensorUnitsDisplay.</summary>
    public static Oid Units { get; } = Oid.Parse("1.3.6.1.2.1.99.1.1.1.6");
}
