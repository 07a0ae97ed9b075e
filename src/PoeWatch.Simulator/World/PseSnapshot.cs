using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Faults;

namespace PoeWatch.Simulator.World;

/// <summary>What a PSE showed at the controller's last look. Immutable.</summary>
/// <param name="PoweredSince">Time since the start at which it got power; null while it has none.</param>
internal sealed record PseSnapshot(TimeSpan? PoweredSince, ImmutableArray<GroupSnapshot> Groups)
{
    /// <summary>What a pass-through switch takes itself; null for what has mains.</summary>
    public PseInput? Input { get; init; }

    /// <summary>When a PD last came, went or was exchanged at one of its ports, since the start.</summary>
    public TimeSpan NeighboursChanged { get; init; }
}

/// <summary>At the uplink of a pass-through switch, behind the cable.</summary>
/// <param name="MeteredMilliwatts">Watts as its meter shows them.</param>
internal readonly record struct PseInput(Voltage Voltage, Power Draw, long MeteredMilliwatts);

/// <param name="Budget">What its supplies give now, at most the designed budget.</param>
/// <param name="Draw">True sum over its ports.</param>
internal sealed record GroupSnapshot(int Number, Power Budget, Power Draw, ImmutableArray<PortSnapshot> Ports);

/// <param name="MeteredMilliwatts">The draw as its meter shows it.</param>
internal sealed record PortSnapshot(
    PsePortRef Ref,
    PortState State,
    PoeClass AssignedClass,
    Criticality Criticality,
    PortCounters Counters,
    Power Draw,
    long MeteredMilliwatts,
    bool IsLinkUp)
{
    public static PortSnapshot Of(PsePortMachine port, AgentFault agent, int meterStepMilliwatts) => new(
        port.Shape.Ref,
        port.State,
        port.AssignedClass,
        port.Priority,
        port.Counters,
        port.Draw,
        agent.Metered(port.MeterRead, meterStepMilliwatts),
        port.IsDelivering || port.Shape.IsDataSide);
}
