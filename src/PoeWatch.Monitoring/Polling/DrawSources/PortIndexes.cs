using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Ports of a switch by every number that tables of its agent are indexed with. Immutable.</summary>
internal sealed class PortIndexes
{
    private readonly FrozenDictionary<int, int> _byInterface;
    private readonly FrozenDictionary<int, int> _byBasePort;
    private readonly FrozenDictionary<int, int> _byLldpPort;
    private readonly FrozenDictionary<int, int> _byEntity;
    private readonly int _onlyGroup;

    /// <param name="ports">In port order.</param>
    /// <param name="interfaces">ifIndex by port, where that is known.</param>
    /// <param name="basePorts">ifIndex by dot1dBasePort.</param>
    /// <param name="lldpPorts">ifIndex by LLDP's local port number.</param>
    /// <param name="entities">ifIndex by entPhysicalIndex.</param>
    public PortIndexes(
        ImmutableArray<PsePortRef> ports,
        IReadOnlyDictionary<PsePortRef, int>? interfaces = null,
        IReadOnlyDictionary<int, int>? basePorts = null,
        IReadOnlyDictionary<int, int>? lldpPorts = null,
        IReadOnlyDictionary<int, int>? entities = null)
    {
        Ports = ports;
        Groups = [.. Enumerable.Range(0, ports.Length).GroupBy(slot => ports[slot].Group).Select(g => new GroupSlots(g.Key, [.. g]))];
        int[] groups = [.. ports.Select(p => p.Group).Distinct()];
        _onlyGroup = groups.Length == 1 ? groups[0] : groups.Length == 0 ? 1 : 0;
        _byInterface = (interfaces ?? FrozenDictionary<PsePortRef, int>.Empty)
            .Where(i => Slot(i.Key.Group, i.Key.Port) >= 0)
            .GroupBy(i => i.Value)
            .Where(claims => claims.Count() == 1)
            .ToFrozenDictionary(claims => claims.Key, claims => Slot(claims.First().Key.Group, claims.First().Key.Port));
        _byBasePort = Through(basePorts);
        _byLldpPort = Through(lldpPorts);
        _byEntity = Through(entities);
    }

    public ImmutableArray<PsePortRef> Ports { get; }

    /// <summary>The groups with the places of their ports.</summary>
    public ImmutableArray<GroupSlots> Groups { get; }

    /// <summary>Place of the port, or -1.</summary>
    public int Slot(int group, int port)
    {
        foreach (GroupSlots known in Groups)
        {
            if (known.Group == group)
            {
                return Slot(known.Slots, port);
            }
        }

        return -1;
    }

    public int SlotOfInterface(uint ifIndex) => Find(_byInterface, ifIndex);

    public int SlotOfLldpPort(uint localPort) => Find(_byLldpPort, localPort);

    public int SlotOfEntity(uint physicalIndex) => Find(_byEntity, physicalIndex);

    /// <summary>Place of the port that a value with this index is of, or -1.</summary>
    public int Slot(SheetIndex kind, CellIndex index) => (kind, index.Count) switch
    {
        (SheetIndex.GroupAndPort, 2) => SlotOf(index.First, index.Second),
        (SheetIndex.Port, 1) when _onlyGroup > 0 => SlotOf((uint)_onlyGroup, index.First),
        (SheetIndex.IfIndex, 1) => SlotOfInterface(index.First),
        (SheetIndex.BasePort, 1) => Find(_byBasePort, index.First),
        _ => -1,
    };

    // Ports of a group are mostly numbered without a gap: then the number says the place. No table of it, which each of thousands of switches would hold.
    private int Slot(int[] slots, int port)
    {
        var guess = (long)port - Ports[slots[0]].Port;
        if (guess >= 0 && guess < slots.Length && Ports[slots[guess]].Port == port)
        {
            return slots[guess];
        }

        foreach (var slot in slots)
        {
            if (Ports[slot].Port == port)
            {
                return slot;
            }
        }

        return -1;
    }

    private int SlotOf(uint group, uint port) => group <= int.MaxValue && port <= int.MaxValue ? Slot((int)group, (int)port) : -1;

    private static int Find(FrozenDictionary<int, int> slots, uint key) => key <= int.MaxValue ? slots.GetValueOrDefault((int)key, -1) : -1;

    private FrozenDictionary<int, int> Through(IReadOnlyDictionary<int, int>? interfaces) =>
        (interfaces ?? FrozenDictionary<int, int>.Empty).Where(i => _byInterface.ContainsKey(i.Value)).ToFrozenDictionary(i => i.Key, i => _byInterface[i.Value]);
}

/// <summary>The places of the ports of one group. Immutable.</summary>
internal sealed record GroupSlots(int Group, int[] Slots);
