using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>Puts walked columns together into readings of ports and groups. Pure.</summary>
public static class PoeTableRows
{
    /// <summary>RFC 3621: pethMainPsePower ends here, in watts; a group that draws more than any may have does not know its draw.</summary>
    private const long GroupWattsMax = 65_535;

    /// <summary>Readings of all ports that any column names, in port order.</summary>
    public static ImmutableArray<PortReading> Ports(
        PollTarget target, WalkColumn states, WalkColumn classes, IReadOnlyDictionary<PsePortRef, Power> draws)
    {
        Dictionary<PsePortRef, long> state = Numbers(target.PseId, states);
        Dictionary<PsePortRef, long> assigned = Numbers(target.PseId, classes);
        return
        [
            .. state.Keys.Concat(draws.Keys).Distinct().Order().Select(port => DrawDecoder.Port(
                port,
                state.TryGetValue(port, out var s) ? s : null,
                assigned.TryGetValue(port, out var c) ? c : null,
                draws.TryGetValue(port, out Power watts) ? watts : null,
                target.PortTypes.GetValueOrDefault(port))),
        ];
    }

    /// <summary>Draws from a column that is indexed by group and port, or by port alone.</summary>
    public static Dictionary<PsePortRef, Power> Draws(string pseId, WalkColumn column, DrawColumn meaning)
    {
        var draws = new Dictionary<PsePortRef, Power>();
        foreach (VarBind cell in column.Cells)
        {
            if (Port(pseId, column.Column, cell, meaning.Index) is { } port && DrawDecoder.Column(cell.Value, meaning.Unit) is { } watts)
            {
                draws[port] = watts;
            }
        }

        return draws;
    }

    /// <summary>Draws from a column that is indexed by ifIndex, for the ports whose interface is known.</summary>
    public static Dictionary<PsePortRef, Power> Draws(
        WalkColumn column, DrawColumn meaning, IReadOnlyDictionary<PsePortRef, int> interfaces)
    {
        var byIndex = new Dictionary<int, Power>();
        foreach (VarBind cell in column.Cells)
        {
            if (Index(column.Column, cell) is { } ifIndex && DrawDecoder.Column(cell.Value, meaning.Unit) is { } watts)
            {
                byIndex[ifIndex] = watts;
            }
        }

        return interfaces.Where(i => byIndex.ContainsKey(i.Value)).ToDictionary(i => i.Key, i => byIndex[i.Value]);
    }

    /// <summary>Configured priorities by port: RFC 3621 names 1 to 3; anything else is none.</summary>
    public static Dictionary<PsePortRef, Criticality> Priorities(string pseId, WalkColumn column) =>
        Numbers(pseId, column).Where(cell => cell.Value is >= 1 and <= 3).ToDictionary(cell => cell.Key, cell => (Criticality)cell.Value);

    /// <summary>Readings of the groups that the main table names, in group order.</summary>
    public static ImmutableArray<GroupReading> Groups(WalkColumn budgets, WalkColumn statuses, WalkColumn draws)
    {
        Dictionary<int, long> budget = Numbers(budgets);
        Dictionary<int, long> status = Numbers(statuses);
        Dictionary<int, long> draw = Numbers(draws);
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

    /// <summary>Names of interfaces by ifIndex.</summary>
    public static Dictionary<int, string> Names(WalkColumn column)
    {
        var names = new Dictionary<int, string>();
        foreach (VarBind cell in column.Cells)
        {
            if (Index(column.Column, cell) is { } ifIndex && cell.Value.TryGetText(out var name) && name.Length > 0)
            {
                names[ifIndex] = name;
            }
        }

        return names;
    }

    private static Dictionary<PsePortRef, long> Numbers(string pseId, WalkColumn column)
    {
        var numbers = new Dictionary<PsePortRef, long>();
        foreach (VarBind cell in column.Cells)
        {
            if (Port(pseId, column.Column, cell, DrawIndex.GroupAndPort) is { } port && cell.Value.TryGetInt64(out var number))
            {
                numbers[port] = number;
            }
        }

        return numbers;
    }

    private static Dictionary<int, long> Numbers(WalkColumn column)
    {
        var numbers = new Dictionary<int, long>();
        foreach (VarBind cell in column.Cells)
        {
            if (Index(column.Column, cell) is { } index && cell.Value.TryGetInt64(out var number))
            {
                numbers[index] = number;
            }
        }

        return numbers;
    }

    private static PsePortRef? Port(string pseId, Oid column, VarBind cell, DrawIndex kind)
    {
        Span<uint> index = stackalloc uint[2];
        var wanted = kind == DrawIndex.GroupAndPort ? 2 : 1;
        if (!cell.Oid.TryGetIndex(column, index, out var count) || count != wanted)
        {
            return null;
        }

        var group = wanted == 2 ? index[0] : 1;
        var port = index[wanted - 1];
        return group is >= 1 and <= int.MaxValue && port is >= 1 and <= int.MaxValue ? new PsePortRef(pseId, (int)group, (int)port) : null;
    }

    private static int? Index(Oid column, VarBind cell)
    {
        Span<uint> index = stackalloc uint[1];
        return cell.Oid.TryGetIndex(column, index, out var count) && count == 1 && index[0] is >= 1 and <= int.MaxValue ? (int)index[0] : null;
    }
}
