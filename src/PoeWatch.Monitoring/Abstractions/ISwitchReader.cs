using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>One element to poll: its agent, and what the design says of the types of its ports. Immutable.</summary>
/// <param name="PortTypes">Types of designed ports: a class bound read from RFC 3621 holds only for types 1 and 2.</param>
public sealed record PollTarget(string PseId, SnmpAgent Agent, PortTypes PortTypes)
{
    /// <summary>What the design says of the far ends and VLANs of ports, over the whole site.</summary>
    public PortIntents Intents { get; init; } = PortIntents.None;

    /// <summary>Polled element that this one is reached over, by the design; null where it is none or not polled.</summary>
    public string? Upstream { get; init; }

    /// <summary>True where the agent is silent behind a silent one: it is asked with one request, and the poll goes on only where it answers.</summary>
    public bool IsOneRequest { get; init; }
}

/// <summary>What a design says that LLDP and VLAN tables can be held against. Immutable.</summary>
/// <param name="Names">System names that are meant to stand behind a port.</param>
/// <param name="Ports">The port that each name is meant to stand behind; names without regard to case.</param>
/// <param name="Vlans">VLAN that a port is meant to be in.</param>
public sealed record PortIntents(
    FrozenDictionary<PsePortRef, ImmutableArray<string>> Names, FrozenDictionary<string, PsePortRef> Ports, FrozenDictionary<PsePortRef, int> Vlans)
{
    public static PortIntents None { get; } = new(
        FrozenDictionary<PsePortRef, ImmutableArray<string>>.Empty, FrozenDictionary<string, PsePortRef>.Empty, FrozenDictionary<PsePortRef, int>.Empty);
}

/// <summary>Asks one agent for everything of one poll. Expected failures come back as outcomes of the reading, never as exceptions.</summary>
/// <remarks>
/// This is the seam that hides SNMP from the rest: another engine would stand behind it. It is called for one target at a time,
/// for many targets at once.
/// </remarks>
public interface ISwitchReader
{
    Task<SwitchReading> ReadAsync(PollTarget target, CancellationToken cancellationToken);

    /// <summary>Forgets what is remembered of agents that are no longer polled.</summary>
    void Keep(IReadOnlyDictionary<string, PollTarget> targets)
    {
    }
}

/// <summary>Takes finished polls. Never blocks, never throws.</summary>
public interface IReadingSink
{
    void Accept(SwitchReading reading);
}
