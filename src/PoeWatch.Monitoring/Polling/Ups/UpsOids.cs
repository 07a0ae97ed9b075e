using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Ups;

/// <summary>Objects of UPS-MIB (RFC 1628), root 1.3.6.1.2.1.33.</summary>
public static class UpsOids
{
    /// <summary>upsBatteryStatus.0: unknown(1), batteryNormal(2), batteryLow(3), batteryDepleted(4).</summary>
    public static Oid Battery { get; } = Oid.Parse("1.3.6.1.2.1.33.1.2.1.0");

    /// <summary>upsSecondsOnBattery.0, zero where it is not on battery.</summary>
    public static Oid SecondsOnBattery { get; } = Oid.Parse("1.3.6.1.2.1.33.1.2.2.0");

    /// <summary>upsEstimatedMinutesRemaining.0</summary>
    public static Oid MinutesRemaining { get; } = Oid.Parse("1.3.6.1.2.1.33.1.2.3.0");

    /// <summary>upsEstimatedChargeRemaining.0, percent.</summary>
    public static Oid Charge { get; } = Oid.Parse("1.3.6.1.2.1.33.1.2.4.0");

    /// <summary>upsOutputSource.0: other(1), none(2), normal(3), bypass(4), battery(5), booster(6), reducer(7).</summary>
    public static Oid Source { get; } = Oid.Parse("1.3.6.1.2.1.33.1.4.1.0");

    /// <summary>upsOutputPower, watts by output line.</summary>
    public static Oid OutputPower { get; } = Oid.Parse("1.3.6.1.2.1.33.1.4.4.1.4");

    /// <summary>upsOutputPercentLoad, percent by output line, 0 to 200.</summary>
    public static Oid OutputLoad { get; } = Oid.Parse("1.3.6.1.2.1.33.1.4.4.1.5");
}
