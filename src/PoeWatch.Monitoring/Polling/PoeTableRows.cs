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

    /// <summary>Readings of the groups that the main table names, in group order.</summary>
    public static ImmutableArray<GroupReading> Groups(FastAnswers poll)
    {
        Dictionary<int, long> budget = ByGroup(poll, PoeOids.GroupBudget);
        Dictionary<int, long> status = ByGroup(poll, PoeOids.GroupStatus);
        Dictionary<int, long> draw = ByGroup(poll, PoeOids.GroupDraw);
        return
        [
            .. budget.Keys.Concat(status.Keys).Concat(draw.Keys).Distinct().Order().Select(group => new GroupReading(
                group,
                budget.TryGetValue(group, out var b) && b is > 0 and <= GroupWattsMax ? Power.FromWatts(b) : null,
                draw.TryGetValue(group, out var d) && d is >= 0 and <= GroupWattsMax ? Power.FromWatts(d) : null,
                draw.TryGetValue(group, out d) && d is >= 0 and <= GroupWattsMax ? Provenance.Measured : Provenance.Unknown,
                status.TryGetValue(group, out var s) ? s == 1 : null)),
        ];
    }

    /// <summary>
    /// What the groups say that they draw, taken for watts however much it is: for finding out whether it is. All bits set is how some agents say that they
    /// do not know.
    /// </summary>
    public static Dictionary<int, Power> GroupFigures(FastAnswers poll) => ByGroup(poll, PoeOids.GroupDraw)
        .Where(cell => cell.Value is >= 0 and < int.MaxValue)
        .ToDictionary(cell => cell.Key, cell => Power.FromWatts(cell.Value));

    /// <summary>The same groups, but 0 W is no draw where a port of the group delivers: agents that do not measure the group say 0.</summary>
    public static ImmutableArray<GroupReading> WithoutFalseZeros(ImmutableArray<GroupReading> groups, ImmutableArray<PortReading> ports)
    {
        var delivering = ports.Where(p => p.State == PortState.Delivering).Select(p => p.Port.Group).ToHashSet();
        return
        [
            .. groups.Select(group => group.DrawAtPse == Power.Zero && delivering.Contains(group.Group)
                ? group with { DrawAtPse = null, Provenance = Provenance.Unknown }
                : group),
        ];
    }

    private static Dictionary<int, long> ByGroup(FastAnswers poll, Oid column)
    {
        var numbers = new Dictionary<int, long>();
        foreach (var (index, value) in poll.Cells(column))
        {
            if (index is { Count: 1, First: >= 1 and <= int.MaxValue } && value.TryGetInt64(out var number))
            {
                numbers[(int)index.First] = number;
            }
        }

        return numbers;
    }
}
