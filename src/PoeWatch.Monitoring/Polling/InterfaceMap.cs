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
        var byNumbers = new Dictionary<(int Group, int Port), List<int>>();
        foreach (var (ifIndex, name) in names)
        {
            if (FrontPanelNumbers(name) is { } numbers)
            {
                (byNumbers.TryGetValue(numbers, out List<int>? found) ? found : byNumbers[numbers] = []).Add(ifIndex);
            }
        }

        var singleGroup = ports.All(p => p.Group == 1);
        var map = ImmutableDictionary.CreateBuilder<PsePortRef, int>();
        foreach (PsePortRef port in ports)
        {
            // First evidence: the numbers on the front panel, where exactly one interface carries them.
            if (byNumbers.TryGetValue((port.Group, port.Port), out List<int>? hits))
            {
                if (hits.Count == 1)
                {
                    map[port] = hits[0];
                }

                continue;
            }

            // Last resort, on a switch that is one group: the port number is itself an ifIndex, and no name speaks against it.
            if (singleGroup && byNumbers.Count == 0 && names.ContainsKey(port.Port))
            {
                map[port] = port.Port;
            }
        }

        return map.ToImmutable();
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
}
