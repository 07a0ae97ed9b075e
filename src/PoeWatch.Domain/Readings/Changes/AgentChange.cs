using System.Collections.Immutable;

namespace PoeWatch.Domain.Readings.Changes;

/// <summary>What happened to an agent between two polls.</summary>
public enum AgentChangeKind
{
    Unknown = 0,

    /// <summary>Its SNMP engine started again while the switch ran on: ports kept their power.</summary>
    AgentRestarted = 1,

    /// <summary>It started again; the switch with it, or nobody knows.</summary>
    Restarted = 2,

    /// <summary>Another switch answers at the address.</summary>
    Replaced = 3,

    /// <summary>PSE groups have other numbers: members of a stack were renumbered.</summary>
    Renumbered = 4,

    /// <summary>PSE groups came or went: a member joined or left a stack.</summary>
    GroupsChanged = 5,
}

/// <summary>One change, for people. Immutable.</summary>
public sealed record AgentChange(AgentChangeKind Kind, string Text);

/// <summary>What tells one switch from another; empty where it does not say. Immutable.</summary>
/// <param name="ObjectId">sysObjectID.</param>
/// <param name="EngineId">snmpEngineID (RFC 3411) in hexadecimal.</param>
/// <param name="Serial">entPhysicalSerialNum (RFC 6933) of the chassis.</param>
public sealed record AgentIdentity(string ObjectId, string EngineId, string Serial)
{
    public static AgentIdentity Nothing { get; } = new(string.Empty, string.Empty, string.Empty);

    /// <summary>This with what the other adds.</summary>
    public AgentIdentity Or(AgentIdentity older) =>
        AddsNothing(ObjectId, older.ObjectId) && AddsNothing(EngineId, older.EngineId) && AddsNothing(Serial, older.Serial)
            ? older
            : new AgentIdentity(
                ObjectId.Length > 0 ? ObjectId : older.ObjectId,
                EngineId.Length > 0 ? EngineId : older.EngineId,
                Serial.Length > 0 ? Serial : older.Serial);

    // Almost every poll: then the one that is kept stays.
    private static bool AddsNothing(string newer, string older) => newer.Length == 0 || newer == older;
}

/// <summary>What one poll says of an agent's life. Immutable.</summary>
/// <param name="At">When it answered, by a monotonic clock.</param>
/// <param name="UpTime">sysUpTime, or null.</param>
/// <param name="EngineBoots">snmpEngineBoots (RFC 3411), or null.</param>
/// <param name="SystemUpTime">hrSystemUptime (RFC 2790), or null: of the switch, not of its agent.</param>
/// <param name="Groups">PSE groups in order; empty where none was read.</param>
public sealed record AgentPulse(
    TimeSpan At, TimeSpan? UpTime, long? EngineBoots, TimeSpan? SystemUpTime, ImmutableArray<int> Groups, AgentIdentity Identity);
