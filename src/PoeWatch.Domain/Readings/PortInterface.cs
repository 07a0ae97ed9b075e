using System.Collections.Immutable;

namespace PoeWatch.Domain.Readings;

/// <summary>Who stands at the far end by LLDP. Texts are empty where it does not say. Immutable.</summary>
/// <param name="SystemName">Its own name.</param>
/// <param name="Chassis">Its chassis id: an address as <c>00:1b:21:aa:bb:cc</c>, or text.</param>
/// <param name="Port">Its port id.</param>
public sealed record Neighbour(string SystemName, string Chassis, string Port);

/// <summary>The interface of a PSE port as its agent showed it when it was last asked. Immutable.</summary>
/// <param name="IfIndex">Its number in IF-MIB.</param>
/// <param name="Name">ifName, or ifDescr.</param>
/// <param name="Alias">What an administrator calls it; empty where nobody did.</param>
/// <param name="Evidence">Why this interface is taken for the port's.</param>
/// <param name="IsUp">Null where the agent does not say.</param>
/// <param name="SpeedMbps">Null where the agent does not say.</param>
/// <param name="Vlan">VLAN of untagged frames (PVID), 1 to 4094; null where the agent does not say.</param>
/// <param name="Neighbours">None where nobody speaks LLDP there.</param>
public sealed record PortInterface(
    int IfIndex, string Name, string Alias, string Evidence, bool? IsUp, int? SpeedMbps, int? Vlan, ImmutableArray<Neighbour> Neighbours);
