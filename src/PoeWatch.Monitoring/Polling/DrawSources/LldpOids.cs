using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Objects of LLDP that say watts (tenths, at the PD end) or tell which ports are PSE ports.</summary>
internal static class LldpOids
{
    /// <summary>lldpV2Xdot3LocPowerPSEAllocatedPowerValue (IEEE8023-DOT3-LLDP-EXT-V2-MIB), by ifIndex.</summary>
    public static Oid AllocatedV2 { get; } = Oid.Parse("1.3.111.2.802.3.1.5.1.2.2.1.11");

    /// <summary>The remote PDRequestedPowerValue of the same, by time mark, ifIndex, destination and remote index.</summary>
    public static Oid RequestedV2 { get; } = Oid.Parse("1.3.111.2.802.3.1.5.1.3.2.1.10");

    /// <summary>The same two columns below the root of LLDP-EXT-DOT3-MIB, where an open LLDP daemon puts them; by local port number.</summary>
    public static Oid Allocated { get; } = Oid.Parse("1.0.8802.1.1.2.1.5.4623.1.2.2.1.11");

    public static Oid Requested { get; } = Oid.Parse("1.0.8802.1.1.2.1.5.4623.1.3.2.1.10");

    /// <summary>lldpXMedRemXPoEPDPowerReq (LLDP-EXT-MED-MIB), by time mark, local port number and remote index.</summary>
    public static Oid RequestedMed { get; } = Oid.Parse("1.0.8802.1.1.2.1.5.4795.1.3.7.1.1");

    /// <summary>lldpXdot3LocPowerPortClass by local port number: pClassPSE(1) pClassPD(2).</summary>
    public static Oid LocalPowerClass { get; } = Oid.Parse("1.0.8802.1.1.2.1.5.4623.1.2.2.1.1");

    /// <summary>lldpXdot3LocPowerMDISupported by local port number: a TruthValue, true(1) where the port can feed.</summary>
    public static Oid LocalPowerSupported { get; } = Oid.Parse("1.0.8802.1.1.2.1.5.4623.1.2.2.1.2");
}
