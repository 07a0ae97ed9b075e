using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Volts times amperes of the maker's columns, both of one poll.</summary>
internal sealed class VoltsAmperesSource(DrawSheet sheet, SheetColumn volts, SheetColumn amperes) : IDrawSource
{
    private readonly Oid _volts = Oid.Parse(volts.Oid);

    public string Name { get; } = $"volts times amperes of sheet {sheet.Name}";

    public Provenance Best => Provenance.Derived;

    public Oid Marker { get; } = Oid.Parse(amperes.Oid);

    public ImmutableArray<Oid> Fast => [_volts, Marker];

    public ImmutableArray<Oid> Slow => [];

    public SourceGate Gate(AgentOffer offer) => SourceGate.Pass($"volts and amperes of {sheet.Mib}");

    public void Read(DrawFrame frame, DrawSlots into)
    {
        var voltage = new Dictionary<int, double>();
        foreach (var (index, value) in frame.Fast.Cells(_volts))
        {
            if (SheetValues.Read(value, volts) is { } read)
            {
                voltage[frame.Ports.Slot(volts.Index, index)] = read;
            }
        }

        foreach (var (index, value) in frame.Fast.Cells(Marker))
        {
            var slot = frame.Ports.Slot(amperes.Index, index);
            if (slot >= 0 && SheetValues.Read(value, amperes) is { } ampere && voltage.TryGetValue(slot, out var volt))
            {
                // Each factor is known to its own step; their effects add up.
                var step = (volt / amperes.Unit.PerBase()) + (ampere / volts.Unit.PerBase());
                into.Put(slot, new PortDraw(Power.FromWatts(volt * ampere), Provenance.Derived, Power.FromWatts(step), TimeSpan.Zero));
            }
        }
    }
}
