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
    /// <summary>Of what feeds nothing.</summary>
    public static PseSnapshot None { get; } = new(TimeSpan.Zero, []);

    /// <summary>What arrives at a pass-through switch; null for what has mains.</summary>
    public PseInput? Input { get; init; }

    /// <summary>Step of its port meters, half of which is their stated accuracy.</summary>
    public int MeterStepMilliwatts { get; init; } = 1;

    /// <summary>What its agent multiplies the ports' watts with; 1 where it is sound.</summary>
    public double WattsFactor { get; init; } = 1;

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
    /// <summary>VLAN of untagged frames.</summary>
    public int Vlan { get; init; }

    /// <summary>System name that the device behind it tells over LLDP; null where none is heard.</summary>
    public string? Neighbour { get; init; }

    public static PortSnapshot Of(PsePortMachine port, FaultState faults, int meterStepMilliwatts) => new(
        port.Shape.Ref,
        port.State,
        port.AssignedClass,
        port.Priority,
        port.Counters,
        port.Draw,
        faults.AtAgent(port.Shape.Ref.PseId).Metered(port.MeterRead, meterStepMilliwatts),
        port.IsDelivering || port.Shape.IsDataSide)
    {
        Vlan = faults.At(port.Shape.Ref).Vlan ?? port.Shape.Vlan,
        Neighbour = port.IsDelivering && !faults.Strangers.ContainsKey(port.Shape.Ref) ? NameOf(port.Shape.Device, faults) : null,
    };

    private static string? NameOf(PoweredDevice? designed, FaultState faults) =>
        designed is not null && faults.Occupants.TryGetValue(designed.Id, out var occupant) ? occupant.Name : designed?.LldpName;
}
