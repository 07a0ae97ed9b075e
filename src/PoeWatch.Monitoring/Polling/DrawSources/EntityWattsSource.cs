using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>
/// Watts in entPhySensorTable (RFC 3433) whose entity stands in a port of ENTITY-MIB (RFC 6933): those of a module or a supply are no port's draw.
/// </summary>
internal sealed class EntityWattsSource : IDrawSource
{
    // entPhysicalClass: port(10). From an entity to its port there are one or two steps; more is a loop.
    private const long PortClass = 10;
    private const int StepsMax = 8;

    private static readonly Oid s_type = Oid.Parse("1.3.6.1.2.1.99.1.1.1.1");
    private static readonly Oid s_scale = Oid.Parse("1.3.6.1.2.1.99.1.1.1.2");
    private static readonly Oid s_precision = Oid.Parse("1.3.6.1.2.1.99.1.1.1.3");
    private static readonly Oid s_status = Oid.Parse("1.3.6.1.2.1.99.1.1.1.5");
    private static readonly Oid s_readAt = Oid.Parse("1.3.6.1.2.1.99.1.1.1.7");

    public string Name => "RFC 3433 watts of the port";

    public Provenance Best => Provenance.Measured;

    public Oid Marker { get; } = Oid.Parse("1.3.6.1.2.1.99.1.1.1.4");

    public ImmutableArray<Oid> Fast => [Marker, s_status, s_readAt];

    public ImmutableArray<Oid> Slow => [s_type, s_scale, s_precision, EntityOids.ContainedIn, EntityOids.PhysicalClass];

    public SourceGate Gate(AgentOffer offer) => offer.Slow[s_type].Values.Any(v => v.TryGetInt64(out var type) && type == EntityValues.Watts)
        ? SourceGate.Pass("entPhySensorTable has watts")
        : SourceGate.Refuse("entPhySensorTable has no watts");

    public void Read(DrawFrame frame, DrawSlots into)
    {
        Dictionary<CellIndex, SnmpValue> status = Column(frame.Fast, s_status);
        Dictionary<CellIndex, SnmpValue> readAt = Column(frame.Fast, s_readAt);
        var found = new Dictionary<int, PortDraw?>();
        foreach (var (index, value) in frame.Fast.Cells(Marker))
        {
            var slot = SlotOf(frame, index);
            if (slot < 0 || frame.Slow.Number(s_type, index) != EntityValues.Watts)
            {
                continue;
            }

            // Two watt values in one port are of something else too, such as the light of a transceiver: then neither is taken.
            found[slot] = found.ContainsKey(slot) ? null : Draw(frame, index, value, Number(status, index), Number(readAt, index));
        }

        foreach (var (slot, draw) in found)
        {
            into.Put(slot, draw ?? default);
        }
    }

    private static PortDraw? Draw(DrawFrame frame, CellIndex index, SnmpValue value, long? status, long? readAt)
    {
        var (scale, precision) = (frame.Slow.Number(s_scale, index), frame.Slow.Number(s_precision, index));
        double? found = value.TryGetInt64(out var raw) ? EntityValues.InUnits(raw, scale, precision, status) : null;
        if (found is not (>= 0 and <= 200))
        {
            return null;
        }

        TimeSpan age = frame.UpTime is { } now && readAt is { } ticks && now.TotalMilliseconds >= ticks * 10.0
            ? now - TimeSpan.FromMilliseconds(ticks * 10.0)
            : TimeSpan.Zero;
        return new PortDraw(Power.FromWatts(found.Value), Provenance.Measured, Power.FromWatts(EntityValues.Step(scale, precision)!.Value), age);
    }

    private static int SlotOf(DrawFrame frame, CellIndex index)
    {
        var entity = index.First;
        for (var step = 0; step < StepsMax && entity > 0; step++)
        {
            if (frame.Slow.Number(EntityOids.PhysicalClass, CellIndex.Of(entity)) == PortClass)
            {
                return frame.Ports.SlotOfEntity(entity);
            }

            entity = (uint)(frame.Slow.Number(EntityOids.ContainedIn, CellIndex.Of(entity)) ?? 0);
        }

        return -1;
    }

    private static Dictionary<CellIndex, SnmpValue> Column(FastAnswers fast, Oid column)
    {
        var cells = new Dictionary<CellIndex, SnmpValue>();
        foreach (var (index, value) in fast.Cells(column))
        {
            cells[index] = value;
        }

        return cells;
    }

    private static long? Number(Dictionary<CellIndex, SnmpValue> cells, CellIndex index) =>
        cells.TryGetValue(index, out SnmpValue value) && value.TryGetInt64(out var number) ? number : null;
}
