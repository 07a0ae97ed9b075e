using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Simulator.World;

/// <summary>What a PSE showed at the controller's last look. Immutable.</summary>
/// <param name="PoweredSince">Time since the start at which it got power; null while it has none.</param>
internal sealed record PseSnapshot(TimeSpan? PoweredSince, ImmutableArray<GroupSnapshot> Groups);

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
    public static PortSnapshot Of(PsePortMachine port, long meterStepMilliwatts)
    {
        var metered = (long)Math.Round(port.Draw.Watts * 1000 / meterStepMilliwatts, MidpointRounding.AwayFromZero) * meterStepMilliwatts;
        return new PortSnapshot(
            port.Shape.Ref,
            port.State,
            port.AssignedClass,
            port.Priority,
            port.Counters,
            port.Draw,
            metered,
            port.IsDelivering || port.Shape.IsDataSide);
    }
}
