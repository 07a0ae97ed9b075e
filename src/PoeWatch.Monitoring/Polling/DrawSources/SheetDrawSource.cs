using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>The maker's own watt column, as a sheet or the design describes it.</summary>
internal sealed class SheetDrawSource : IDrawSource
{
    private readonly DrawSheet _sheet;
    private readonly SheetColumn _draw;
    private readonly Oid? _measures;

    public SheetDrawSource(DrawSheet sheet)
    {
        _sheet = sheet;
        Name = sheet.Name == DrawSourceList.DesignName ? sheet.Name : $"sheet {sheet.Name}";
        _draw = sheet.Column(SheetQuantity.Draw) ?? throw new ArgumentException($"The sheet '{sheet.Name}' has no draw column.", nameof(sheet));
        Marker = Oid.Parse(_draw.Oid);
        _measures = sheet.Column(SheetQuantity.Measures) is { } measures ? Oid.Parse(measures.Oid) : null;
    }

    public string Name { get; }

    public Provenance Best => Provenance.Measured;

    public Oid Marker { get; }

    public ImmutableArray<Oid> Fast => [Marker];

    public ImmutableArray<Oid> Slow => _measures is { } oid ? [oid] : [];

    public SourceGate Gate(AgentOffer offer) => Exception(offer) is { } exception
        ? SourceGate.Pass($"column of {_sheet.Mib}, but on this model it is an allocation ({exception.Source})")
        : SourceGate.Pass($"measured column of {_sheet.Mib}");

    public void Read(DrawFrame frame, DrawSlots into)
    {
        var isException = Exception(frame.Offer) is not null;
        foreach (var (index, value) in frame.Fast.Cells(Marker))
        {
            var slot = frame.Ports.Slot(_draw.Index, index);
            if (slot >= 0 && SheetValues.Watts(value, _draw) is { } watts)
            {
                into.Put(slot, new PortDraw(watts, Worth(frame, slot, isException), SheetValues.Resolution(_draw), TimeSpan.Zero));
            }
        }
    }

    private SheetException? Exception(AgentOffer offer) => _sheet.Exceptions.FirstOrDefault(e => e.Covers(offer.ObjectId, offer.Description));

    // TruthValue (RFC 2579): true(1), false(2).
    private Provenance Worth(DrawFrame frame, int slot, bool isException) =>
        isException || (_measures is { } oid && frame.Slow.Number(oid, CellIndex.Of((uint)frame.Ports.Ports[slot].Group)) == 2)
            ? Provenance.Allocated
            : Provenance.Measured;
}
