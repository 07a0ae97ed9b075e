using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>The interfaces of ports with what stands behind them. Pure.</summary>
internal static class InterfaceReader
{
    public static ImmutableDictionary<PsePortRef, PortInterface> Read(IReadOnlyDictionary<PsePortRef, MappedInterface> mapped, SlowAnswers slow)
    {
        ImmutableArray<InterfaceFacts> facts = InterfaceFacts.Of(slow);
        Dictionary<int, InterfaceFacts> byIndex = facts.ToDictionary(f => f.IfIndex);
        Dictionary<int, int> basePorts = EvidenceReader.BasePorts(slow);
        ILookup<int, Neighbour> neighbours = NeighbourReader.Read(slow, EvidenceReader.LldpPorts(slow, facts, basePorts));
        ILookup<int, int> bridged = basePorts.ToLookup(b => b.Value, b => b.Key);
        var ports = ImmutableDictionary.CreateBuilder<PsePortRef, PortInterface>();
        foreach (var (port, map) in mapped)
        {
            if (byIndex.TryGetValue(map.IfIndex, out InterfaceFacts? found))
            {
                ports[port] = new PortInterface(
                    map.IfIndex, found.Name, found.Alias, map.Evidence, found.IsUp, found.SpeedMbps, Vlan(slow, bridged[map.IfIndex]), [.. neighbours[map.IfIndex]]);
            }
        }

        return ports.ToImmutable();
    }

    /// <summary>Every LLDP neighbour with the name of the interface that sees it, also where no PSE port is behind the interface.</summary>
    public static ImmutableArray<(string Interface, Neighbour Neighbour)> Neighbours(SlowAnswers slow)
    {
        ImmutableArray<InterfaceFacts> facts = InterfaceFacts.Of(slow);
        ILookup<int, Neighbour> neighbours = NeighbourReader.Read(slow, EvidenceReader.LldpPorts(slow, facts, EvidenceReader.BasePorts(slow)));
        return [.. facts.SelectMany(f => neighbours[f.IfIndex].Select(neighbour => (f.Name, neighbour)))];
    }

    // IEEE 802.1Q: 1 to 4094. An interface is one bridge port; where an agent names two, neither is taken.
    private static int? Vlan(SlowAnswers slow, IEnumerable<int> basePorts)
    {
        int[] numbers = [.. basePorts];
        return numbers.Length == 1 && slow.Number(InterfaceOids.Pvid, CellIndex.Of((uint)numbers[0])) is >= 1 and <= 4094 and var vlan ? (int)vlan : null;
    }
}
