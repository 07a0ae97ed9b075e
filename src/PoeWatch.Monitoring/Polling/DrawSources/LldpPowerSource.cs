using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>
/// Watts that PSE and PD agreed on, or the PD asked for, over LLDP: tenths of a watt at the PD end, so the most that the cable can lose is laid
/// on. A ceiling. The remote rows are read when the agent says that they changed.
/// </summary>
internal sealed class LldpPowerSource : IDrawSource
{
    private readonly bool _isAllocation;
    private readonly Func<PortIndexes, CellIndex, int> _slot;

    private LldpPowerSource(string name, Oid column, bool isAllocation, Func<PortIndexes, CellIndex, int> slot)
    {
        (Name, Marker, _isAllocation, _slot) = (name, column, isAllocation, slot);
    }

    /// <summary>What the PSE granted stands above what the PD asks for; LLDP-MED comes last.</summary>
    public static ImmutableArray<LldpPowerSource> All { get; } =
    [
        new("LLDP allocation (IEEE 802.3.1)", LldpOids.AllocatedV2, true, (ports, index) => index.Count == 1 ? ports.SlotOfInterface(index.First) : -1),
        new("LLDP allocation", LldpOids.Allocated, true, (ports, index) => index.Count == 1 ? ports.SlotOfLldpPort(index.First) : -1),
        new("LLDP request (IEEE 802.3.1)", LldpOids.RequestedV2, false, (ports, index) => index.Count == 4 ? ports.SlotOfInterface(index.Second) : -1),
        new("LLDP request", LldpOids.Requested, false, (ports, index) => index.Count == 3 ? ports.SlotOfLldpPort(index.Second) : -1),
        new("LLDP-MED request", LldpOids.RequestedMed, false, (ports, index) => index.Count == 3 ? ports.SlotOfLldpPort(index.Second) : -1),
    ];

    public string Name { get; }

    public Provenance Best => Provenance.Lldp;

    public Oid Marker { get; }

    public ImmutableArray<Oid> Fast => [];

    public ImmutableArray<Oid> Slow => [Marker];

    public SourceGate Gate(AgentOffer offer) => offer.Slow[Marker].Values.Any(v => Tenths(v) is not null)
        ? SourceGate.Pass(_isAllocation ? "the PSE tells what it granted over LLDP" : "PDs tell over LLDP what they ask for")
        : SourceGate.Refuse("the column is there, but no row has watts");

    public void Read(DrawFrame frame, DrawSlots into)
    {
        foreach (var (index, value) in frame.Slow[Marker])
        {
            if (Tenths(value) is { } tenths && ChannelLoss.AtPse(Power.FromWatts(tenths / 10.0)) is { } atPse)
            {
                into.Put(_slot(frame.Ports, index), new PortDraw(atPse, Provenance.Lldp, Power.FromWatts(0.1), frame.SlowAge));
            }
        }
    }

    // 0 is what a port without such a PD has; the TLV ends at 99.9 W, that of LLDP-MED at 102.3 W.
    private static long? Tenths(SnmpValue value) => value.TryGetInt64(out var tenths) && tenths is > 0 and <= 1023 ? tenths : null;
}
