using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Objects of ENTITY-MIB (RFC 6933) that tie an entity to a port and its interface.</summary>
internal static class EntityOids
{
    /// <summary>entPhysicalContainedIn, by entPhysicalIndex; 0 for what stands in nothing.</summary>
    public static Oid ContainedIn { get; } = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1.4");

    /// <summary>entPhysicalClass, by entPhysicalIndex: port(10).</summary>
    public static Oid PhysicalClass { get; } = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1.5");

    /// <summary>entAliasMappingIdentifier, by entPhysicalIndex and a logical index: points to an instance of ifEntry where there is one.</summary>
    public static Oid AliasMapping { get; } = Oid.Parse("1.3.6.1.2.1.47.1.3.2.1.2");
}
