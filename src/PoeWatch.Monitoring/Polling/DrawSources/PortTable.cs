using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>State and class of each port in one poll, by slot. Used by one poll at a time.</summary>
internal sealed class PortTable
{
    private PortTable(PortIndexes indexes) => Indexes = indexes;

    public PortIndexes Indexes { get; private set; }

    /// <summary>By slot; what stands behind the last slot means nothing.</summary>
    public PortState[] States { get; private set; } = [];

    /// <summary>By slot; what stands behind the last slot means nothing.</summary>
    public PoeClass?[] Assigned { get; private set; } = [];

    public bool IsDelivering(int slot) => States[slot] == PortState.Delivering;

    /// <param name="used">One whose room may be used again; it ends with that.</param>
    public static PortTable Read(PortIndexes indexes, FastAnswers fast, DrawSheet? sheet, PortTable? used = null)
    {
        PortTable table = used ?? new PortTable(indexes);
        table.Empty(indexes);
        foreach (var (index, value) in fast.Cells(PoeOids.PortState))
        {
            if (indexes.Slot(SheetIndex.GroupAndPort, index) is >= 0 and var slot && value.TryGetInt64(out var raw))
            {
                table.States[slot] = DrawDecoder.State(raw);
            }
        }

        foreach (var (index, value) in fast.Cells(PoeOids.PortClass))
        {
            if (indexes.Slot(SheetIndex.GroupAndPort, index) is >= 0 and var slot && value.TryGetInt64(out var raw))
            {
                table.Assigned[slot] = DrawDecoder.AssignedClass(raw);
            }
        }

        if (sheet?.Column(SheetQuantity.PortClass) is { } column)
        {
            table.TakeMakersClass(fast, column, sheet.ClassCoding);
        }

        return table;
    }

    /// <summary>Groups and ports that any column names, in order.</summary>
    public static ImmutableArray<PsePortRef> Ports(string pseId, FastAnswers fast, IEnumerable<SheetColumn> draws)
    {
        var found = new SortedSet<PsePortRef>();
        foreach (var (index, _) in fast.Cells(PoeOids.PortState))
        {
            Add(found, pseId, index);
        }

        var groups = found.Select(port => port.Group).Distinct().ToArray();
        foreach (SheetColumn column in draws.Where(c => c.Index is SheetIndex.GroupAndPort or SheetIndex.Port))
        {
            foreach (var (index, _) in fast.Cells(Oid.Parse(column.Oid)))
            {
                Add(found, pseId, column.Index == SheetIndex.Port && index.Count == 1 && groups.Length <= 1 ? CellIndex.Of((uint)groups.FirstOrDefault(1), index.First) : index);
            }
        }

        return [.. found];
    }

    private void Empty(PortIndexes indexes)
    {
        Indexes = indexes;
        if (States.Length < indexes.Ports.Length)
        {
            (States, Assigned) = (new PortState[indexes.Ports.Length], new PoeClass?[indexes.Ports.Length]);
        }

        States.AsSpan().Clear();
        Assigned.AsSpan().Clear();
    }

    private static void Add(SortedSet<PsePortRef> ports, string pseId, CellIndex index)
    {
        if (index is { Count: 2, First: >= 1 and <= int.MaxValue, Second: >= 1 and <= int.MaxValue })
        {
            ports.Add(new PsePortRef(pseId, (int)index.First, (int)index.Second));
        }
    }

    // RFC 3621 ends at class 4; where the maker's own column knows a higher class, or the other has none, it counts.
    private void TakeMakersClass(FastAnswers fast, SheetColumn column, ClassCoding coding)
    {
        foreach (var (index, value) in fast.Cells(Oid.Parse(column.Oid)))
        {
            var slot = Indexes.Slot(column.Index, index);
            var raw = SheetValues.Read(value, column) - (coding == ClassCoding.ClassPlusOne ? 1 : 0);
            if (slot >= 0 && raw is >= 0 and <= 8 && (Assigned[slot] is not { } standard || (PoeClass)(int)raw.Value > standard))
            {
                Assigned[slot] = (PoeClass)(int)raw.Value;
            }
        }
    }
}
