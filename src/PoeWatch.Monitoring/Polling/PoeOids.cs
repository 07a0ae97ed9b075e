using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>Objects that are read of every switch. Numbers from RFC 3621 (POWER-ETHERNET-MIB), RFC 3418 (SNMPv2-MIB), RFC 2863 (IF-MIB).</summary>
public static class PoeOids
{
    /// <summary>sysDescr.0</summary>
    public static Oid SystemText { get; } = Oid.Parse("1.3.6.1.2.1.1.1.0");

    /// <summary>sysObjectID.0</summary>
    public static Oid SystemId { get; } = Oid.Parse("1.3.6.1.2.1.1.2.0");

    /// <summary>sysUpTime.0, hundredths of a second.</summary>
    public static Oid UpTime { get; } = Oid.Parse("1.3.6.1.2.1.1.3.0");

    /// <summary>sysName.0</summary>
    public static Oid SystemName { get; } = Oid.Parse("1.3.6.1.2.1.1.5.0");

    /// <summary>ifDescr, by ifIndex.</summary>
    public static Oid InterfaceText { get; } = Oid.Parse("1.3.6.1.2.1.2.2.1.2");

    /// <summary>ifName, by ifIndex.</summary>
    public static Oid InterfaceName { get; } = Oid.Parse("1.3.6.1.2.1.31.1.1.1.1");

    /// <summary>pethPsePortDetectionStatus, by group and port.</summary>
    public static Oid PortState { get; } = Oid.Parse("1.3.6.1.2.1.105.1.1.1.6");

    /// <summary>pethPsePortPowerPriority, by group and port: critical(1) high(2) low(3).</summary>
    public static Oid PortPriority { get; } = Oid.Parse("1.3.6.1.2.1.105.1.1.1.7");

    /// <summary>pethPsePortPowerClassifications, by group and port: class + 1.</summary>
    public static Oid PortClass { get; } = Oid.Parse("1.3.6.1.2.1.105.1.1.1.10");

    /// <summary>pethMainPsePower, by group, watts.</summary>
    public static Oid GroupBudget { get; } = Oid.Parse("1.3.6.1.2.1.105.1.3.1.1.2");

    /// <summary>pethMainPseOperStatus, by group: on(1) off(2) faulty(3).</summary>
    public static Oid GroupStatus { get; } = Oid.Parse("1.3.6.1.2.1.105.1.3.1.1.3");

    /// <summary>pethMainPseConsumptionPower, by group, watts.</summary>
    public static Oid GroupDraw { get; } = Oid.Parse("1.3.6.1.2.1.105.1.3.1.1.4");
}
