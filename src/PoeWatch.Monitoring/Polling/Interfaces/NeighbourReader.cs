using System.Text;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>LLDP neighbours by ifIndex, out of LLDP-V2-MIB or LLDP-MIB. Pure.</summary>
internal static class NeighbourReader
{
    /// <summary>Neighbours of each interface; several where a hub or a phone stands between.</summary>
    public static ILookup<int, Neighbour> Read(SlowAnswers slow, IReadOnlyDictionary<int, int> lldpPorts)
    {
        IEnumerable<(int, Neighbour)> second =
            from index in slow[InterfaceOids.RemoteChassisV2].Keys
            where index.Count == 4
            select ((int)index.Second, Of(
                slow, index, InterfaceOids.RemoteChassisKindV2, InterfaceOids.RemoteChassisV2, InterfaceOids.RemotePortV2, InterfaceOids.RemoteNameV2));
        IEnumerable<(int, Neighbour)> first =
            from index in slow[InterfaceOids.RemoteChassis].Keys
            where index.Count == 3 && lldpPorts.ContainsKey((int)index.Second)
            select (lldpPorts[(int)index.Second], Of(
                slow, index, InterfaceOids.RemoteChassisKind, InterfaceOids.RemoteChassis, InterfaceOids.RemotePort, InterfaceOids.RemoteName));
        return (slow.Has(InterfaceOids.RemoteChassisV2) ? second : first).ToLookup(n => n.Item1, n => n.Item2);
    }

    private static Neighbour Of(SlowAnswers slow, CellIndex index, Oid kind, Oid chassis, Oid port, Oid name) => new(
        slow.Text(name, index)?.Trim() ?? string.Empty,
        Identity(slow, chassis, index, isMac: slow.Number(kind, index) == 4),
        Identity(slow, port, index, isMac: false));

    private static string Identity(SlowAnswers slow, Oid column, CellIndex index, bool isMac) =>
        slow[column].TryGetValue(index, out SnmpValue value) ? Identity(value, isMac) : string.Empty;

    /// <summary>A chassis or port id: macAddress(4) is six octets; what is text is shown as text, anything else in hexadecimal.</summary>
    public static string Identity(SnmpValue value, bool isMac)
    {
        if (!value.TryGetOctets(out ReadOnlySpan<byte> octets))
        {
            return string.Empty;
        }

        if (!isMac && value.TryGetText(out var text) && !text.Any(char.IsControl))
        {
            return text.Trim();
        }

        var written = new StringBuilder();
        foreach (var octet in octets)
        {
            written.Append(written.Length > 0 ? ":" : "").Append(octet.ToString("x2", System.Globalization.CultureInfo.InvariantCulture));
        }

        return written.ToString();
    }
}
