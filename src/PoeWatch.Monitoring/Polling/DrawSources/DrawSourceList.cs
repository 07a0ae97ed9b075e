using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Every source in order of rank: measured, derived, allocated, LLDP. The class bound comes after them and needs no columns of its own.</summary>
internal static class DrawSourceList
{
    /// <summary>What the column of a design is called.</summary>
    public const string DesignName = "draw-column of the design";

    // They keep nothing of an agent, so all agents share them.
    private static readonly EnergyObjectSource s_energyObjects = new();
    private static readonly EntityWattsSource s_entityWatts = new();

    /// <param name="design">The draw column that the design names: it stands above everything.</param>
    /// <param name="sheet">The sheet that fits the agent, or null.</param>
    public static ImmutableArray<IDrawSource> Of(DrawColumn? design, DrawSheet? sheet) =>
    [
        .. design is null ? [] : new IDrawSource[] { new SheetDrawSource(AsSheet(design)) },
        .. sheet is { } with && with.Column(SheetQuantity.Draw) is not null ? [new SheetDrawSource(with)] : Array.Empty<IDrawSource>(),
        IeeePowerSource.AtIeeeRoot,
        IeeePowerSource.AtRfcRoot,
        s_energyObjects,
        s_entityWatts,
        .. VoltsAmperes(sheet),
        new CumulativeEnergySource(),
        .. Allocation(sheet),
        .. LldpPowerSource.All,
    ];

    /// <summary>The design's column in the words of a sheet. The design says nothing of text, so both are read.</summary>
    public static DrawSheet AsSheet(DrawColumn design)
    {
        SheetUnit unit = design.Unit switch
        {
            DrawUnit.Deciwatt => SheetUnit.Deciwatt,
            DrawUnit.Watt => SheetUnit.Watt,
            _ => SheetUnit.Milliwatt,
        };
        SheetIndex index = design.Index switch
        {
            DrawIndex.Port => SheetIndex.Port,
            DrawIndex.IfIndex => SheetIndex.IfIndex,
            _ => SheetIndex.GroupAndPort,
        };
        var column = new SheetColumn(SheetQuantity.Draw, design.Oid, unit, index, IsText: true);
        return new DrawSheet(DesignName, "the design's draw-column", "the design", [], [column], ClassCoding.ClassPlusOne, [], IsOwn: true);
    }

    private static IDrawSource[] VoltsAmperes(DrawSheet? sheet) =>
        sheet?.Column(SheetQuantity.Volts) is { } volts && sheet.Column(SheetQuantity.Amperes) is { } amperes
            ? [new VoltsAmperesSource(sheet, volts, amperes)]
            : [];

    private static IDrawSource[] Allocation(DrawSheet? sheet) =>
        sheet?.Column(SheetQuantity.Allocated) is { } allocated ? [new SheetAllocationSource(sheet, allocated)] : [];
}
