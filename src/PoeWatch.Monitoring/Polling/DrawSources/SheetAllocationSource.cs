using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>What the PSE set aside for a port, in the maker's column: a ceiling.</summary>
internal sealed class SheetAllocationSource(DrawSheet sheet, SheetColumn allocated) : IDrawSource
{
    public string Name { get; } = $"allocation of sheet {sheet.Name}";

    public Provenance Best => Provenance.Allocated;

    public Oid Marker { get; } = Oid.Parse(allocated.Oid);

    public ImmutableArray<Oid> Fast => [Marker];

    public ImmutableArray<Oid> Slow => [];

    public SourceGate Gate(AgentOffer offer) => SourceGate.Pass($"allocation column of {sheet.Mib}");

    public void Read(DrawFrame frame, DrawSlots into)
    {
        foreach (var (index, value) in frame.Fast.Cells(Marker))
        {
            // 0 W set aside is no ceiling of a port that delivers: then the column does not say.
            if (SheetValues.Watts(value, allocated) is { Watts: > 0 } watts)
            {
                into.Put(frame.Ports.Slot(allocated.Index, index), new PortDraw(watts, Provenance.Allocated, SheetValues.Resolution(allocated), TimeSpan.Zero));
            }
        }
    }
}
