using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Inspection;

/// <summary>A column of a maker's tree that behaves as watts of ports would.</summary>
/// <param name="Unit">The unit in which it adds up to the group's figure; null where none does or there is no figure.</param>
/// <param name="Highest">Largest number in it.</param>
internal sealed record FoundColumn(string Oid, SheetIndex Index, SheetUnit? Unit, bool IsText, double Highest);

/// <summary>Looks through a maker's tree for columns that may hold the watts of ports. What it finds are hints, never readings. Pure.</summary>
internal static class ColumnSearch
{
    private const int FoundMax = 8;

    /// <param name="tree">Everything below the maker's arc.</param>
    public static ImmutableArray<FoundColumn> Find(WalkColumn tree, PortIndexes ports, DecodedPoll poll)
    {
        var columns = new Dictionary<(string Column, SheetIndex Index), Dictionary<int, (double Number, bool IsText)>>();
        foreach (VarBind cell in tree.Cells)
        {
            if (Number(cell.Value) is not { } number)
            {
                continue;
            }

            var name = cell.Oid.ToString();
            foreach (var (index, arcs) in new[] { (SheetIndex.GroupAndPort, 2), (SheetIndex.IfIndex, 1), (SheetIndex.Port, 1) })
            {
                if (Split(name, arcs) is { } split && ports.Slot(index, split.Index) is >= 0 and var slot)
                {
                    columns.TryAdd((split.Column, index), []);
                    columns[(split.Column, index)][slot] = number;
                }
            }
        }

        return
        [
            .. columns.Where(c => IsLikeWatts(c.Value, poll.Ports))
                .Select(c => new FoundColumn(c.Key.Column, c.Key.Index, Unit(c.Value, poll), c.Value.Values.All(v => v.IsText), c.Value.Values.Max(v => v.Number)))
                .OrderByDescending(c => c.Unit is not null).ThenBy(c => c.Index).ThenBy(c => c.Oid, StringComparer.Ordinal)
                .DistinctBy(c => c.Oid)
                .Take(FoundMax),
        ];
    }

    // More than nothing wherever a port delivers, nothing elsewhere, and not the same number in all of them: states, limits and classes fall out.
    private static bool IsLikeWatts(Dictionary<int, (double Number, bool IsText)> values, ImmutableArray<PortReading> ports)
    {
        int[] delivering = [.. Enumerable.Range(0, ports.Length).Where(slot => ports[slot].State == PortState.Delivering)];
        return delivering.Length > 0
            && delivering.All(slot => values.TryGetValue(slot, out var v) && v.Number is > 0 and <= 200_000)
            && values.Where(v => !delivering.Contains(v.Key)).All(v => v.Value.Number <= 0)
            && (delivering.Length == 1 || delivering.Select(slot => values[slot].Number).Distinct().Count() > 1);
    }

    private static SheetUnit? Unit(Dictionary<int, (double Number, bool IsText)> values, DecodedPoll poll)
    {
        var sum = values.Values.Sum(v => Math.Max(v.Number, 0));
        double? total = poll.Groups.All(g => g.DrawAtPse is not null) && !poll.Groups.IsEmpty ? poll.Groups.Sum(g => g.DrawAtPse!.Value.Watts) : null;
        foreach (SheetUnit unit in new[] { SheetUnit.Milliwatt, SheetUnit.Deciwatt, SheetUnit.Watt })
        {
            var sums = new GroupSums(
                Power.FromWatts(sum / unit.PerBase()), values.Count, 0, 0, Power.FromWatts(1 / unit.PerBase()), total is { } watts ? Power.FromWatts(watts) : null, null, null);
            if (UnitSanity.Check(sums).Verdict == UnitVerdict.Agrees)
            {
                return unit;
            }
        }

        return null;
    }

    private static (double Number, bool IsText)? Number(SnmpValue value) =>
        value.TryGetInt64(out var whole) ? (whole, false)
        : value.TryGetText(out var text) && double.TryParse(
            text.AsSpan().Trim(), System.Globalization.NumberStyles.AllowDecimalPoint, System.Globalization.CultureInfo.InvariantCulture, out var number) ? (number, true)
        : null;

    private static (string Column, CellIndex Index)? Split(string name, int arcs)
    {
        Span<uint> index = stackalloc uint[2];
        var end = name.Length;
        for (var i = arcs - 1; i >= 0; i--)
        {
            var dot = name.LastIndexOf('.', end - 1);
            if (dot <= 0 || !uint.TryParse(name.AsSpan(dot + 1, end - dot - 1), out index[i]))
            {
                return null;
            }

            end = dot;
        }

        return (name[..end], CellIndex.Of(index[..arcs]));
    }
}
