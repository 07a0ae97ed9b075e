using System.Collections.Immutable;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>Objects that tell which interface is which and what stands behind it. IF-MIB (RFC 2863), BRIDGE-MIB (RFC 4188), Q-BRIDGE-MIB (RFC 4363), LLDP-MIB.</summary>
internal static class InterfaceOids
{
    /// <summary>ifType, by ifIndex: ethernetCsmacd(6).</summary>
    public static Oid InterfaceType { get; } = Oid.Parse("1.3.6.1.2.1.2.2.1.3");

    /// <summary>ifOperStatus, by ifIndex: up(1) down(2) notPresent(6) lowerLayerDown(7).</summary>
    public static Oid OperStatus { get; } = Oid.Parse("1.3.6.1.2.1.2.2.1.8");

    /// <summary>ifHighSpeed, by ifIndex, Mbit/s.</summary>
    public static Oid HighSpeed { get; } = Oid.Parse("1.3.6.1.2.1.31.1.1.1.15");

    /// <summary>ifConnectorPresent, by ifIndex: true(1) where there is a plug.</summary>
    public static Oid Connector { get; } = Oid.Parse("1.3.6.1.2.1.31.1.1.1.17");

    /// <summary>ifAlias, by ifIndex: what an administrator calls it.</summary>
    public static Oid Alias { get; } = Oid.Parse("1.3.6.1.2.1.31.1.1.1.18");

    /// <summary>dot1dBasePortIfIndex, by bridge port.</summary>
    public static Oid BasePort { get; } = Oid.Parse("1.3.6.1.2.1.17.1.4.1.2");

    /// <summary>dot1qPvid, by bridge port: the VLAN of untagged frames.</summary>
    public static Oid Pvid { get; } = Oid.Parse("1.3.6.1.2.1.17.7.1.4.5.1.1");

    /// <summary>lldpLocPortIdSubtype, by local port number: interfaceName(5).</summary>
    public static Oid LocalPortKind { get; } = Oid.Parse("1.0.8802.1.1.2.1.3.7.1.2");

    /// <summary>lldpLocPortId, by local port number.</summary>
    public static Oid LocalPortId { get; } = Oid.Parse("1.0.8802.1.1.2.1.3.7.1.3");

    /// <summary>lldpRemChassisIdSubtype by time mark, local port and remote index: macAddress(4) networkAddress(5).</summary>
    public static Oid RemoteChassisKind { get; } = Oid.Parse("1.0.8802.1.1.2.1.4.1.1.4");

    public static Oid RemoteChassis { get; } = Oid.Parse("1.0.8802.1.1.2.1.4.1.1.5");

    public static Oid RemotePort { get; } = Oid.Parse("1.0.8802.1.1.2.1.4.1.1.7");

    public static Oid RemoteName { get; } = Oid.Parse("1.0.8802.1.1.2.1.4.1.1.9");

    /// <summary>lldpV2RemChassisIdSubtype and so on (LLDP-V2-MIB), by time mark, ifIndex, destination and remote index.</summary>
    public static Oid RemoteChassisKindV2 { get; } = Oid.Parse("1.3.111.2.802.1.1.13.1.4.1.1.5");

    public static Oid RemoteChassisV2 { get; } = Oid.Parse("1.3.111.2.802.1.1.13.1.4.1.1.6");

    public static Oid RemotePortV2 { get; } = Oid.Parse("1.3.111.2.802.1.1.13.1.4.1.1.8");

    public static Oid RemoteNameV2 { get; } = Oid.Parse("1.3.111.2.802.1.1.13.1.4.1.1.10");

    /// <summary>lldpStatsRemTablesLastChangeTime.0: moves when a neighbour came, went or changed.</summary>
    public static Oid RemoteChanged { get; } = Oid.Parse("1.0.8802.1.1.2.1.2.1.0");

    /// <summary>ifTableLastChange.0: moves when an interface came or went.</summary>
    public static Oid TableChanged { get; } = Oid.Parse("1.3.6.1.2.1.31.1.5.0");

    /// <summary>Everything of a survey that is no source of watts.</summary>
    public static ImmutableArray<Oid> All { get; } =
    [
        PoeOids.InterfaceName, PoeOids.InterfaceText, InterfaceType, OperStatus, HighSpeed, Connector, Alias, BasePort, Pvid, LocalPortKind, LocalPortId,
        RemoteChassisKind, RemoteChassis, RemotePort, RemoteName, RemoteChassisKindV2, RemoteChassisV2, RemotePortV2, RemoteNameV2,
        LldpOids.LocalPowerClass, LldpOids.LocalPowerSupported, EntityOids.AliasMapping, EnergyObjectSource.EthernetPort, EnergyObjectSource.EthernetGroup,
        PoeOids.PortPriority,
    ];
}
