using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>Everything that may tell which interface a PSE port is. Immutable.</summary>
/// <param name="Pointers">Interfaces that the agent itself names for ports.</param>
/// <param name="Feeding">Interfaces that are known to feed, whatever port they are; empty where nothing tells.</param>
/// <param name="BasePorts">ifIndex by bridge port.</param>
/// <param name="Delivering">Ports that deliver now.</param>
internal sealed record InterfaceEvidence(
    ImmutableArray<InterfaceFacts> Interfaces,
    IReadOnlyDictionary<PsePortRef, int> Pointers,
    IReadOnlySet<int> Feeding,
    IReadOnlyDictionary<int, int> BasePorts,
    IReadOnlySet<PsePortRef> Delivering)
{
    public static InterfaceEvidence None { get; } = new(
        [], FrozenDictionary<PsePortRef, int>.Empty, FrozenSet<int>.Empty, FrozenDictionary<int, int>.Empty, FrozenSet<PsePortRef>.Empty);
}

/// <summary>The interface of a port and how that is known.</summary>
/// <param name="Evidence">For people.</param>
internal sealed record MappedInterface(int IfIndex, string Evidence);
