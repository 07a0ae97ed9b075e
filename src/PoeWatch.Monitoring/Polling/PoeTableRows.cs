using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>Puts walked columns together into readings of ports and groups. Pure.</summary>
internal static class PoeTableRows
{
    /// <summary>RFC 3621: pethMainPsePower ends here, in watts; a group that draws more than any may have does not know its draw.</summary>
    private const long GroupWattsMax = 65_535;

    /// <summary>Configured priorities by port: RFC 3621 names 1 to 3; anything else is none.</summary>
    public static Dictionary<PsePortRef, Criticality> Priorities(string pseId, SlowAnswers slow) => slow[PoeOids.PortPriority]
        .Where(c => c.Key is { Count: 2, First: >= 1 and <= int.MaxValue, Second: >= 1 and <= int.MaxValue } && c.Value.TryGetInt64(out var raw) && raw is >= 1 and <= 3)
        .ToDictionary(c => new PsePortRef(pseId, (int)c.Key.First, (int)c.Key.Second), c => (Criticality)(slow.Number(PoeOids.PortPriority, c.Key) ?? 0));

    /// <summary>What the main table says of each group, in group order.</summary>
    /// <param name="into">Emptied and filled.</param>
    public static void Read(FastAnswers poll, List<GroupCells> into)
    {
        into.Clear();
        Read(poll, PoeOids.GroupBudget, into, static (cells, number) => cells with { Budget = number });
        Read(poll, PoeOids.GroupStatus, into, static (cells, number) => cells with { Status = number });
        Read(poll, PoeOids.GroupDraw, into, static (cells, number) => cells with { Draw = number });
        into.Sort(static (left, right) => left.Group.CompareTo(right.Group));
    }

    /// <summary>Readings of the groups.</summary>
    public static ImmutableArray<GroupReading> Groups(List<GroupCells> cells)
    {
        var groups = ImmutableArray.CreateBuilder<GroupReading>(cells.Count);
        foreach (GroupCells group in cells)
        {
            var hasDraw = group.Draw is >= 0 and <= GroupWattsMax;
            groups.Add(new GroupReading(
                group.Group,
                group.Budget is { } budget and > 0 and <= GroupWattsMax ? Power.FromWatts(budget) : null,
                hasDraw ? Power.FromWatts(group.Draw!.Value) : null,
                hasDraw ? Provenance.Measured : Provenance.Unknown,
                group.Status is { } status ? status == 1 : null));
        }

        return groups.MoveToImmutable();
    }

    /// <summary>The same groups, but 0 W is no draw where a port of the group delivers: agents that do not measure the group say 0.</summary>
    public static ImmutableArray<GroupReading> WithoutFalseZeros(ImmutableArray<GroupReading> groups, ImmutableArray<PortReading> ports)
    {
        if (!groups.Any(static group => group.DrawAtPse == Power.Zero))
        {
            return groups;
        }

        var delivering = ports.Where(p => p.State == PortState.Delivering).Select(p => p.Port.Group).ToHashSet();
        return
        [
            .. groups.Select(group => group.DrawAtPse == Power.Zero && delivering.Contains(group.Group)
                ? group with { DrawAtPse = null, Provenance = Provenance.Unknown }
                : group),
        ];
    }

    private static int PlaceOf(int group, List<GroupCells> cells)
    {
        for (var place = 0; place < cells.Count; place++)
        {
            if (cells[place].Group == group)
            {
                return place;
            }
        }

        return -1;
    }

    // Columns of one table name the same rows in the same order: the row is looked for where it was in the column before.
    private static void Read(FastAnswers poll, Oid column, List<GroupCells> into, Func<GroupCells, long, GroupCells> put)
    {
        var next = 0;
        foreach (var (index, value) in poll.Cells(column))
        {
            if (index is not { Count: 1, First: >= 1 and <= int.MaxValue } || !value.TryGetInt64(out var number))
            {
                continue;
            }

            var group = (int)index.First;
            var place = next < into.Count && into[next].Group == group ? next : PlaceOf(group, into);
            if (place < 0)
            {
                place = into.Count;
                into.Add(new GroupCells(group, null, null, null));
            }

            into[place] = put(into[place], number);
            next = place + 1;
        }
    }
}

/// <summary>What the agent writes of one group of the main table; null where it does not say.</summary>
internal readonly record struct GroupCells(int Group, long? Budget, long? Status, long? Draw)
{
    /// <summary>
    /// What the group says that it draws, taken for watts however much it is: for finding out whether it is. All bits set is how some agents say that they
    /// do not know.
    /// </summary>
    public Power? Figure => Draw is { } watts and >= 0 and < int.MaxValue ? Power.FromWatts(watts) : null;
}
