using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>
/// Mean watts out of pethPsePortCumulativeEnergy (IEEE Std 802.3.1, column 17, Counter32 of millijoules) over the agent's own time. One of it
/// belongs to one agent, whose last reading it keeps.
/// </summary>
internal sealed class CumulativeEnergySource : IDrawSource
{
    private static readonly Oid s_energy = Oid.Parse("1.3.111.2.802.3.1.8.1.1.1.17");

    private readonly EnergySteps _steps = new();
    private PortIndexes? _ports;

    public string Name => "IEEE 802.3.1 cumulative energy over time";

    public Provenance Best => Provenance.Derived;

    public Oid Marker => s_energy;

    public ImmutableArray<Oid> Fast => [Marker];

    public ImmutableArray<Oid> Slow => [];

    public SourceGate Gate(AgentOffer offer) => SourceGate.Pass("pethPsePortCumulativeEnergy in millijoules; known from the second poll that asks for it on");

    public void Read(DrawFrame frame, DrawSlots into)
    {
        // Over the seconds between the up time and a survey's own answers no mean is right.
        if (frame.UpTime is not { } upTime || !frame.Fast.IsPolled(Marker))
        {
            return;
        }

        ForgetOtherPorts(frame.Ports);
        foreach (var (index, value) in frame.Fast.Cells(Marker))
        {
            var slot = frame.Ports.Slot(SheetIndex.GroupAndPort, index);
            if (slot < 0 || !value.TryGetUInt64(out var millijoules) || millijoules > uint.MaxValue)
            {
                continue;
            }

            if (_steps.Next(slot, (uint)millijoules, upTime) is { } mean)
            {
                var step = Power.FromWatts(1 / mean.Over.TotalMilliseconds);
                into.Put(slot, new PortDraw(Power.FromWatts(mean.Watts), Provenance.Derived, step, mean.Over / 2));
            }
        }
    }

    public void Forget() => _steps.Forget();

    // Slots move when a port comes or goes; what was kept by slot is then of another port.
    private void ForgetOtherPorts(PortIndexes ports)
    {
        if (!ReferenceEquals(_ports, ports) && _ports is not null && !_ports.Ports.AsSpan().SequenceEqual(ports.Ports.AsSpan()))
        {
            _steps.Forget();
        }

        _ports = ports;
    }
}
