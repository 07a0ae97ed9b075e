using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling;

/// <summary>
/// Which interface belongs to which PSE port. RFC 3621 defines no mapping, so evidence decides, and a port without evidence stays
/// unmapped rather than guessed. Pure.
/// </summary>
public static class InterfaceMap
{
    /// <summary>Maps ports to ifIndex.</summary>
    /// <param name="ports">Ports of the switch.</param>
    /// <param name="names">ifName (or ifDescr) by ifIndex.</param>
    public static ImmutableDictionary<PsePortRef, int> Map(IReadOnlyCollection<PsePortRef> ports, IReadOnlyDictionary<int, string> names)
    {
        List<NamedInterface> numbered = [.. names.Select(n => NamedInterface.Of(n.Key, n.Value)).OfType<NamedInterface>()];
        ILookup<(int Group, int Port), NamedInterface> byNumbers = numbered.ToLookup(i => (i.Group, i.Port));
        Dictionary<int, string?> series = ports.GroupBy(p => p.Group).ToDictionary(g => g.Key, g => CoveringSeries(numbered, g.Key, [.. g.Select(p => p.Port)]));
        var singleGroup = ports.All(p => p.Group == 1);
        var map = ImmutableDictionary.CreateBuilder<PsePortRef, int>();
        foreach (PsePortRef port in ports)
        {
            // First evidence: the numbers on the front panel, in the one series of names that has every port of the group, or where
            // exactly one interface carries them.
            NamedInterface[] all = [.. byNumbers[(port.Group, port.Port)]];
            NamedInterface[] hits = series[port.Group] is { } one ? [.. all.Where(i => i.Series == one)] : all;
            if (hits.Length == 1)
            {
                map[port] = hits[0].IfIndex;
            }

            // Last resort, on a switch that is one group: the port number is itself an ifIndex, and no name speaks against it.
            if (singleGroup && numbered.Count == 0 && names.ContainsKey(port.Port))
            {
                map[port] = port.Port;
            }
        }

        return map.ToImmutable();
    }

    /// <summary>
    /// Uplinks and VLANs repeat the numbers of ports (<c>Te1/1/1</c> and <c>Vlan1</c> beside <c>Gi1/0/1</c>), but hardly all of them. Null where no
    /// series, or more than one, has them all.
    /// </summary>
    private static string? CoveringSeries(IEnumerable<NamedInterface> numbered, int group, HashSet<int> ports)
    {
        string[] covering =
        [
            .. numbered.Where(i => i.Group == group).GroupBy(i => i.Series).Where(s => ports.IsSubsetOf(s.Select(i => i.Port))).Select(s => s.Key),
        ];
        return covering.Length == 1 ? covering[0] : null;
    }

    /// <summary>
    /// Group and port in an interface name: <c>Gi1/0/7</c> and <c>2/7</c> start with the group, <c>port7</c> and <c>eth7</c> belong to group 1.
    /// Null where the name has no such numbers, or more parts than these.
    /// </summary>
    internal static (int Group, int Port)? FrontPanelNumbers(string name)
    {
        var start = name.AsSpan().IndexOfAnyInRange('0', '9');
        if (start < 0)
        {
            return null;
        }

        var parts = new List<int>();
        foreach (Range range in name.AsSpan(start).Split('/'))
        {
            if (!int.TryParse(name.AsSpan(start)[range], NumberStyles.None, CultureInfo.InvariantCulture, out var number))
            {
                return null;
            }

            parts.Add(number);
        }

        return parts.Count switch
        {
            1 => (1, parts[0]),
            2 => (Math.Max(parts[0], 1), parts[1]),
            3 => (Math.Max(parts[0], 1), parts[2]),
            _ => null,
        };
    }

    /// <summary>An interface with front panel numbers.</summary>
    /// <param name="Series">The name without its last number: <c>Gi1/0/</c>.</param>
    private sealed record NamedInterface(int IfIndex, string Series, int Group, int Port)
    {
        public static NamedInterface? Of(int ifIndex, string name) => FrontPanelNumbers(name) is { } numbers
            ? new NamedInterface(ifIndex, name.TrimEnd("0123456789".ToCharArray()), numbers.Group, numbers.Port)
            : null;
    }
}
