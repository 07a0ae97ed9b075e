using System.Collections.Immutable;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>
/// Which interface belongs to which PSE port. RFC 3621 defines no mapping, so evidence decides, best first, and a port without evidence stays
/// unmapped rather than guessed. Pure.
/// </summary>
internal static class InterfaceMap
{
    // So many delivering ports whose interface is down speak against a series; so many that deliver are enough to judge by.
    private const int ContradictionsMin = 2;
    private const int DeliveringMin = 3;

    public static ImmutableDictionary<PsePortRef, MappedInterface> Map(IReadOnlyCollection<PsePortRef> ports, InterfaceEvidence evidence)
    {
        ImmutableArray<NumberedInterface> numbered = [.. FrontPanel.Numbered(evidence.Interfaces)];
        var map = ImmutableDictionary.CreateBuilder<PsePortRef, MappedInterface>();
        foreach (IGrouping<int, PsePortRef> group in ports.GroupBy(p => p.Group))
        {
            NumberedInterface[] ofGroup = [.. numbered.Where(i => i.Group == group.Key)];
            var isOnly = ports.All(p => p.Group == group.Key);
            var (series, why) = TheSeries(ofGroup, [.. group], evidence, isOnly);
            foreach (PsePortRef port in group)
            {
                if ((Pointed(port, evidence) ?? ByPanel(port, ofGroup, series, why, evidence) ?? ByBridge(port, numbered, evidence, isOnly)
                    ?? ByNumber(port, numbered, evidence, isOnly)) is { } found)
                {
                    map[port] = found;
                }
            }
        }

        return WithoutDoubles(map);
    }

    private static MappedInterface? Pointed(PsePortRef port, InterfaceEvidence evidence) =>
        evidence.Pointers.TryGetValue(port, out var ifIndex) ? new MappedInterface(ifIndex, "the agent points from the port to the interface") : null;

    private static MappedInterface? ByPanel(PsePortRef port, NumberedInterface[] ofGroup, string? series, string why, InterfaceEvidence evidence)
    {
        NumberedInterface[] hits = [.. ofGroup.Where(i => i.Port == port.Port && (series is null || i.Series == series))];
        if (hits.Length > 1 && evidence.Feeding.Count > 0)
        {
            hits = [.. hits.Where(i => evidence.Feeding.Contains(i.Interface.IfIndex))];
            why = "the only interface with the number of the port that feeds";
        }

        return hits.Length == 1 ? new MappedInterface(hits[0].Interface.IfIndex, why) : null;
    }

    // The bridge counts its ports through all units, so beside PSE ports of one group only.
    private static MappedInterface? ByBridge(PsePortRef port, ImmutableArray<NumberedInterface> numbered, InterfaceEvidence evidence, bool isOnly) =>
        isOnly && port.Group == 1 && numbered.IsEmpty && evidence.BasePorts.TryGetValue(port.Port, out var ifIndex)
            ? new MappedInterface(ifIndex, "bridge port of the same number; no name speaks against it")
            : null;

    // Last resort, on a switch that is one group: the port number is itself an ifIndex, and no name speaks against it.
    private static MappedInterface? ByNumber(PsePortRef port, ImmutableArray<NumberedInterface> numbered, InterfaceEvidence evidence, bool isOnly) =>
        isOnly && port.Group == 1 && numbered.IsEmpty && evidence.BasePorts.Count == 0 && evidence.Interfaces.Any(i => i.IfIndex == port.Port && i.CouldBePort)
            ? new MappedInterface(port.Port, "ifIndex of the same number; no name speaks against it")
            : null;

    /// <summary>
    /// The one series of names that belongs to the PSE ports of a group. Uplinks and VLANs repeat numbers of ports (<c>Te1/1/1</c> beside
    /// <c>Gi1/0/1</c>), but hardly all of them; where they do, what feeds, the bridge and the state of the interfaces tell them apart.
    /// </summary>
    private static (string? Series, string Evidence) TheSeries(NumberedInterface[] ofGroup, PsePortRef[] ports, InterfaceEvidence evidence, bool isOnly)
    {
        Dictionary<string, Dictionary<int, InterfaceFacts>> covering = ofGroup.GroupBy(i => i.Series)
            .Where(s => ports.All(p => s.Any(i => i.Port == p.Port)))
            .ToDictionary(s => s.Key, s => s.DistinctBy(i => i.Port).ToDictionary(i => i.Port, i => i.Interface), StringComparer.Ordinal);
        if (covering.Count <= 1)
        {
            return covering.Count == 1
                ? (covering.Keys.Single(), "numbers in the name, in the one series that has every port of the group")
                : (null, "numbers in the name, which no other interface carries");
        }

        if (evidence.Feeding.Count > 0 && Only(covering, s => ports.All(p => evidence.Feeding.Contains(s[p.Port].IfIndex))) is { } feeds)
        {
            return (feeds, "numbers in the name, in the one series whose interfaces feed");
        }

        if (isOnly && Only(covering, s => ports.All(p => evidence.BasePorts.GetValueOrDefault(p.Port) == s[p.Port].IfIndex)) is { } bridged)
        {
            return (bridged, "numbers in the name, in the one series that the bridge numbers the same");
        }

        PsePortRef[] delivering = [.. ports.Where(evidence.Delivering.Contains)];
        int Against(Dictionary<int, InterfaceFacts> s) => delivering.Count(p => s[p.Port].IsUp == false);
        return delivering.Length >= DeliveringMin
            && Only(covering, s => Against(s) == 0) is { } lively
            && covering.All(s => s.Key == lively || Against(s.Value) >= ContradictionsMin)
                ? (lively, "numbers in the name, in the one series that is up wherever a port delivers")
                : (null, "numbers in the name, which no other interface carries");
    }

    private static string? Only(
        Dictionary<string, Dictionary<int, InterfaceFacts>> covering, Func<Dictionary<int, InterfaceFacts>, bool> fits)
    {
        string[] found = [.. covering.Where(s => fits(s.Value)).Select(s => s.Key)];
        return found.Length == 1 ? found[0] : null;
    }

    // Two ports on one interface: at least one of the two is wrong, and nothing says which.
    private static ImmutableDictionary<PsePortRef, MappedInterface> WithoutDoubles(ImmutableDictionary<PsePortRef, MappedInterface>.Builder map) =>
        map.GroupBy(m => m.Value.IfIndex).Where(claims => claims.Count() == 1).Select(claims => claims.First()).ToImmutableDictionary();
}
