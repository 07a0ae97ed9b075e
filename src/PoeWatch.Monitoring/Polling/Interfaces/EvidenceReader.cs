using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>Takes the evidence for interfaces out of what an agent answered. Pure.</summary>
internal static class EvidenceReader
{
    // ifEntry: an instance of it ends in the ifIndex.
    private static readonly Oid s_interfaceEntry = Oid.Parse("1.3.6.1.2.1.2.2.1");

    /// <param name="sheets">Sheets in force on this agent: their pointers and their tables by ifIndex are evidence.</param>
    public static InterfaceEvidence Read(
        SlowAnswers slow, IReadOnlyCollection<PsePortRef> ports, IEnumerable<DrawSheet> sheets, IReadOnlySet<PsePortRef> delivering)
    {
        DrawSheet[] all = [.. sheets];
        var interfaces = InterfaceFacts.Of(slow);
        Dictionary<int, int> basePorts = BasePorts(slow);
        return new InterfaceEvidence(
            interfaces, Pointers(slow, ports, all, Entities(slow)), Feeding(slow, all, LldpPorts(slow, interfaces, basePorts)), basePorts, delivering);
    }

    /// <summary>ifIndex by bridge port.</summary>
    public static Dictionary<int, int> BasePorts(SlowAnswers slow) => slow[InterfaceOids.BasePort]
        .Where(c => c.Key.Count == 1 && c.Value.TryGetInt64(out var ifIndex) && ifIndex is > 0 and <= int.MaxValue)
        .ToDictionary(c => (int)c.Key.First, c => (int)slow.Number(InterfaceOids.BasePort, c.Key)!.Value);

    /// <summary>ifIndex by entPhysicalIndex, where entAliasMappingIdentifier points to an ifEntry.</summary>
    public static Dictionary<int, int> Entities(SlowAnswers slow)
    {
        var entities = new Dictionary<int, int>();
        Span<uint> rest = stackalloc uint[2];
        foreach (var (index, value) in slow[EntityOids.AliasMapping])
        {
            if (index.Count == 2 && value.TryGetOid(out Oid pointed) && pointed.StartsWith(s_interfaceEntry)
                && pointed.TryGetIndex(s_interfaceEntry, rest, out var count) && count == 2 && rest[1] is > 0 and <= int.MaxValue)
            {
                entities[(int)index.First] = (int)rest[1];
            }
        }

        return entities;
    }

    /// <summary>
    /// ifIndex by LLDP's local port number, which has no fixed relation to it: by the interface name that LLDP gives, else by the bridge port of that
    /// number (IEEE 802.1AB: on a bridge the two are the same), else by the ifIndex of that number where the agent is no bridge.
    /// </summary>
    public static Dictionary<int, int> LldpPorts(SlowAnswers slow, IReadOnlyCollection<InterfaceFacts> interfaces, IReadOnlyDictionary<int, int> basePorts)
    {
        const long InterfaceName = 5;
        ILookup<string, int> byName = interfaces.ToLookup(i => i.Name, i => i.IfIndex, StringComparer.Ordinal);
        var ports = new Dictionary<int, int>();
        foreach (CellIndex index in LocalPorts(slow))
        {
            var number = (int)index.First;
            int[] named = slow.Number(InterfaceOids.LocalPortKind, index) == InterfaceName ? [.. byName[slow.Text(InterfaceOids.LocalPortId, index) ?? ""]] : [];
            if (named.Length == 1)
            {
                ports[number] = named[0];
            }
            else if (basePorts.TryGetValue(number, out var bridged))
            {
                ports[number] = bridged;
            }
            else if (basePorts.Count == 0 && interfaces.Any(i => i.IfIndex == number))
            {
                ports[number] = number;
            }
        }

        return ports;
    }

    // lldpLocPortTable, or where an agent leaves it out the local ports that other tables name.
    private static IEnumerable<CellIndex> LocalPorts(SlowAnswers slow) =>
        slow[InterfaceOids.LocalPortId].Keys.Where(i => i.Count == 1)
            .Concat(slow[InterfaceOids.RemoteChassis].Keys.Where(i => i.Count == 3).Select(i => CellIndex.Of(i.Second)))
            .Concat(slow[LldpOids.LocalPowerSupported].Keys.Where(i => i.Count == 1))
            .Where(i => i.First is > 0 and <= int.MaxValue)
            .Distinct();

    private static Dictionary<PsePortRef, int> Pointers(
        SlowAnswers slow, IReadOnlyCollection<PsePortRef> ports, DrawSheet[] sheets, Dictionary<int, int> entities)
    {
        var pointers = new Dictionary<PsePortRef, int>();
        var known = ports.ToDictionary(p => (p.Group, p.Port));
        foreach (SheetColumn column in sheets.Select(s => s.Column(SheetQuantity.Entity)).OfType<SheetColumn>())
        {
            foreach (var (index, value) in slow[Oid.Parse(column.Oid)])
            {
                if (index.Count == 2 && value.TryGetInt64(out var entity) && entities.TryGetValue((int)Math.Min(entity, int.MaxValue), out var ifIndex)
                    && known.TryGetValue(((int)index.First, (int)index.Second), out PsePortRef port))
                {
                    pointers[port] = ifIndex;
                }
            }
        }

        // RFC 7461: an energy object names its PSE port, and its entity an interface.
        foreach (CellIndex index in slow[EnergyObjectSource.EthernetPort].Keys)
        {
            var (group, number) = (slow.Number(EnergyObjectSource.EthernetGroup, index), slow.Number(EnergyObjectSource.EthernetPort, index));
            if (group is > 0 and <= int.MaxValue && number is > 0 and <= int.MaxValue && known.TryGetValue(((int)group, (int)number), out PsePortRef port)
                && entities.TryGetValue((int)Math.Min(index.First, int.MaxValue), out var ifIndex))
            {
                pointers.TryAdd(port, ifIndex);
            }
        }

        return pointers;
    }

    // A maker's watt table by ifIndex has a row for each interface that feeds; LLDP says it of each port (pClassPSE(1), true(1)).
    private static HashSet<int> Feeding(SlowAnswers slow, DrawSheet[] sheets, Dictionary<int, int> lldpPorts)
    {
        var feeding = new HashSet<int>();
        foreach (SheetColumn column in sheets.Select(s => s.Column(SheetQuantity.Draw)).OfType<SheetColumn>().Where(c => c.Index == SheetIndex.IfIndex))
        {
            feeding.UnionWith(slow[Oid.Parse(column.Oid)].Keys.Where(i => i.Count == 1).Select(i => (int)i.First));
        }

        if (feeding.Count == 0)
        {
            feeding.UnionWith(
                from index in slow[LldpOids.LocalPowerSupported].Keys
                where slow.Number(LldpOids.LocalPowerSupported, index) == 1 && slow.Number(LldpOids.LocalPowerClass, index) is null or 1
                where lldpPorts.ContainsKey((int)index.First)
                select lldpPorts[(int)index.First]);
        }

        return feeding;
    }
}
