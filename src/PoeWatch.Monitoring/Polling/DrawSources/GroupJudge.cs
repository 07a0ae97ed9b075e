using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Puts together what the checks of one group need. Pure.</summary>
/// <param name="draws">What the source says of each port.</param>
/// <param name="allocations">What the PSE set aside; null where nothing says.</param>
/// <param name="limits">Most watts that a port may give, by slot.</param>
/// <param name="types">Types of the ports by design.</param>
internal sealed class GroupJudge(
    PortTable table, DrawSlots draws, DrawSlots? allocations, IReadOnlyDictionary<int, Power> limits, PortTypes types)
{
    // IEEE 802.3-2022 ends at 99.9 W a port (Table 145-16).
    private static readonly Power s_portMax = Power.FromWatts(99.9);

    private static readonly Dictionary<int, Power> s_noLimits = [];

    // What an allocation by class may be, by class and clause. Class 4 of RFC 3621 may be any class from 4 up.
    private static readonly Power[][] s_ceilings = [.. Enumerable.Range(0, 9).Select(c => (PoeClass)c switch
    {
        PoeClass.Class4 => Enumerable.Range(4, 5).Select(up => PoeTables.LimitsOf((PoeClass)up, PoeClause.Clause145).PseMinimumOutput).ToArray(),
        <= PoeClass.Class3 => [PoeTables.LimitsOf((PoeClass)c, PoeClause.Clause33).PseMinimumOutput, PoeTables.LimitsOf((PoeClass)c, PoeClause.Clause145).PseMinimumOutput],
        _ => [PoeTables.LimitsOf((PoeClass)c, PoeClause.Clause145).PseMinimumOutput],
    })];

    /// <summary>Sums of the slots of one group.</summary>
    public GroupSums Sums(IReadOnlyList<int> slots, Power? total, Power? budget)
    {
        var (sum, resolution) = (Power.Zero, Power.Zero);
        var (delivering, unknown, above) = (0, 0, 0);
        Power? allocated = Power.Zero;
        for (var i = 0; i < slots.Count; i++)
        {
            var slot = slots[i];
            PortDraw draw = draws[slot];
            var isAtPse = draw.Provenance is Provenance.Measured or Provenance.Derived or Provenance.Estimated;
            sum += isAtPse ? draw.Watts : Power.Zero;
            resolution = isAtPse ? Power.Max(resolution, draw.Resolution) : resolution;
            if (table.IsDelivering(slot))
            {
                delivering++;
                unknown += isAtPse ? 0 : 1;
                above += isAtPse && draw.Watts > Ceiling(slot) * 1.1 ? 1 : 0;
                allocated += Allocated(slot) ?? DrawDecoder.ClassCeiling(table.Assigned[slot], TypeOf(slot));
            }
        }

        return new GroupSums(sum, delivering, unknown, above, resolution, total, budget, allocated);
    }

    /// <summary>
    /// Lets the watch see the delivering ports with what their draws may be an echo of; nothing where one has no measured draw. Almost always one port
    /// soon shows that they are no echo: only else are they put together.
    /// </summary>
    public void Show(AllocationWatch watch, IReadOnlyList<int> slots)
    {
        var areEchoes = true;
        for (var i = 0; i < slots.Count; i++)
        {
            if (table.IsDelivering(slots[i]))
            {
                if (draws[slots[i]].Provenance != Provenance.Measured)
                {
                    return;
                }

                areEchoes = areEchoes && Shown(slots[i]).IsCeiling;
            }
        }

        if (areEchoes)
        {
            watch.Observe([.. slots.Where(table.IsDelivering).Select(Shown)]);
        }
        else
        {
            watch.Differs();
        }
    }

    private PoeType TypeOf(int slot) => types.TypeOf(table.Indexes.Ports[slot]);

    private ShownDraw Shown(int slot) =>
        new(slot, draws[slot].Watts, draws[slot].Resolution, table.Assigned[slot] is { } assigned ? s_ceilings[(int)assigned] : [], Allocated(slot));

    private Power? Allocated(int slot) => allocations is not null && allocations[slot].IsKnown ? allocations[slot].Watts : null;

    private Power Ceiling(int slot) => limits.TryGetValue(slot, out Power limit) && limit > Power.Zero
        ? limit
        : DrawDecoder.ClassCeiling(table.Assigned[slot], TypeOf(slot)) ?? s_portMax;

    /// <summary>Limits of the sheet's column, by slot.</summary>
    public static Dictionary<int, Power> Limits(DrawSheet? sheet, DrawFrame frame)
    {
        if (sheet?.Column(SheetQuantity.Limit) is not { } column)
        {
            return s_noLimits;
        }

        var limits = new Dictionary<int, Power>();
        foreach (var (index, value) in frame.Slow[Oid.Parse(column.Oid)])
        {
            if (frame.Ports.Slot(column.Index, index) is >= 0 and var slot && SheetValues.Watts(value, column) is { } watts)
            {
                limits[slot] = watts;
            }
        }

        return limits;
    }
}
