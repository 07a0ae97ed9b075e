using PoeWatch.Domain.Readings;

namespace PoeWatch.Api.Contracts;

/// <summary>One odd thing about the answers of an agent.</summary>
/// <param name="Kind">unit-conflict, allocation-as-draw, wrong-device, moved-device or wrong-vlan.</param>
/// <param name="GroupNumber">PSE group that it is about; null where it is about a port.</param>
/// <param name="PortRef">Port that it is about; null where it is about a group.</param>
/// <param name="Text">What was seen and what to do.</param>
public sealed record FindingContract(string Kind, int? GroupNumber, string? PortRef, string Text)
{
    internal static FindingContract From(ReadingFinding finding) =>
        new(finding.Kind.Name(), finding.Port is null ? finding.Group : null, finding.Port?.ToString(), finding.Text);
}

/// <summary>Where the watts of a port come from.</summary>
/// <param name="Source">What they were read from, in words.</param>
/// <param name="ResolutionW">Smallest step of the number, or its accuracy where the agent states one that is coarser; null where unknown.</param>
/// <param name="AgeSeconds">How old the number was when it was read; null where unknown.</param>
public sealed record DrawOriginContract(string Source, double? ResolutionW, double? AgeSeconds)
{
    internal static DrawOriginContract? From(PortReading? reading) => reading is { Source.Length: > 0 }
        ? new(reading.Source, reading.Resolution?.Watts, reading.Age is { } age ? Math.Round(age.TotalSeconds, 3) : null)
        : null;
}

/// <summary>The interface of a PSE port, as it was when the agent was last asked for it.</summary>
/// <param name="InterfaceNumber">ifIndex of IF-MIB.</param>
/// <param name="Evidence">Why this interface is taken for the port's.</param>
/// <param name="Alias">What an administrator calls it; null where nobody did.</param>
/// <param name="IsUp">Null where the agent does not say.</param>
/// <param name="VlanNumber">VLAN of untagged frames; null where the agent does not say.</param>
/// <param name="Neighbours">Who stands at the far end by LLDP.</param>
public sealed record InterfaceContract(
    int InterfaceNumber, string Name, string? Alias, string Evidence, bool? IsUp, int? SpeedMbps, int? VlanNumber, IReadOnlyList<NeighbourContract> Neighbours)
{
    internal static InterfaceContract From(PortInterface found) => new(
        found.IfIndex, found.Name, found.Alias.Length > 0 ? found.Alias : null, found.Evidence, found.IsUp, found.SpeedMbps, found.Vlan,
        [.. found.Neighbours.Select(n => new NeighbourContract(n.SystemName, n.Chassis, n.Port))]);
}

/// <summary>An LLDP neighbour; texts are empty where it does not say.</summary>
public sealed record NeighbourContract(string SystemName, string Chassis, string Port);
