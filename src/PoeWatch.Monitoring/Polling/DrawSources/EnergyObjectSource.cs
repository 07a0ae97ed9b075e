using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>
/// eoPower of ENERGY-OBJECT-MIB (RFC 7460), tied to PSE ports by ENERGY-OBJECT-CONTEXT-MIB (RFC 7461). What it is worth the agent says itself,
/// by eoPowerMeasurementCaliber and eoPowerMeasurementLocal.
/// </summary>
internal sealed class EnergyObjectSource : IDrawSource
{
    private static readonly Oid s_multiplier = Oid.Parse("1.3.6.1.2.1.229.1.2.1.3");
    private static readonly Oid s_accuracy = Oid.Parse("1.3.6.1.2.1.229.1.2.1.4");
    private static readonly Oid s_caliber = Oid.Parse("1.3.6.1.2.1.229.1.2.1.5");
    private static readonly Oid s_isLocal = Oid.Parse("1.3.6.1.2.1.229.1.2.1.7");

    /// <summary>eoEthPortIndex and eoEthPortGrpIndex: the pethPsePort of an energy object, 0 where unknown.</summary>
    public static Oid EthernetPort { get; } = Oid.Parse("1.3.6.1.2.1.231.1.1.1.1");

    public static Oid EthernetGroup { get; } = Oid.Parse("1.3.6.1.2.1.231.1.1.1.2");

    public string Name => "RFC 7460 energy objects";

    public Provenance Best => Provenance.Measured;

    public Oid Marker { get; } = Oid.Parse("1.3.6.1.2.1.229.1.2.1.1");

    public ImmutableArray<Oid> Fast => [Marker];

    public ImmutableArray<Oid> Slow => [s_multiplier, s_accuracy, s_caliber, s_isLocal, EthernetPort, EthernetGroup];

    public SourceGate Gate(AgentOffer offer) => offer.Slow[EthernetPort].Values.Any(v => v.TryGetInt64(out var port) && port > 0)
        ? SourceGate.Pass("eoPower, tied to ports by RFC 7461")
        : SourceGate.Refuse("eoPower is there, but nothing of RFC 7461 ties it to a PSE port");

    public void Read(DrawFrame frame, DrawSlots into)
    {
        foreach (var (index, value) in frame.Fast.Cells(Marker))
        {
            if (value.TryGetInt64(out var raw) && Draw(frame.Slow, index, raw) is { } draw)
            {
                var (group, port) = (frame.Slow.Number(EthernetGroup, index), frame.Slow.Number(EthernetPort, index));
                into.Put(port > 0 && group > 0 ? frame.Ports.Slot((int)group, (int)port) : -1, draw);
            }
        }
    }

    private static PortDraw? Draw(SlowAnswers slow, CellIndex index, long raw)
    {
        Provenance worth = Worth(slow.Number(s_caliber, index), slow.Number(s_isLocal, index));
        if (worth == Provenance.Unknown || slow.Number(s_multiplier, index) is not (>= -24 and <= 24 and var exponent))
        {
            return null;
        }

        // An outlet may be said to produce, which RFC 7460 writes as a negative number.
        var step = Math.Pow(10, exponent);
        var watts = Math.Abs(raw * step);

        // eoPowerAccuracy: hundredths of a percent; 0 is unknown.
        var accuracy = watts * (slow.Number(s_accuracy, index) ?? 0) / 10_000;
        return watts <= 200 ? new PortDraw(Power.FromWatts(watts), worth, Power.FromWatts(Math.Max(step, accuracy)), TimeSpan.Zero) : null;
    }

    // unavailable(1) unknown(2) actual(3) estimated(4) static(5); TruthValue true(1) false(2).
    private static Provenance Worth(long? caliber, long? isLocal) => (caliber, isLocal) switch
    {
        (3, 1) => Provenance.Measured,
        (3, 2) => Provenance.ReportedByPd,
        (4, _) => Provenance.Estimated,
        (5, _) => Provenance.Nameplate,
        _ => Provenance.Unknown,
    };
}
