using PoeWatch.Domain.Readings;

namespace PoeWatch.Simulator.Faults;

/// <summary>What hangs on a port comes and goes, away for the first half of each period (a loose plug); null ends it.</summary>
public sealed record PortFlaps(PsePortRef Port, TimeSpan? Every) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) =>
        before.With(Port, port => port with { Flaps = Every is { } every ? new Beat(every, at) : null });
}

/// <summary>A fault counter of a port rises evenly while the port goes on feeding between the short troubles.</summary>
public sealed record PortCounts(PsePortRef Port, PortCount Kind, double PerHour) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) =>
        before.With(Port, port => port with { Counting = port.Counting.SetItem(Kind, new Rise(PerHour, at)) });
}

/// <summary>No counter of a port rises by script any more.</summary>
public sealed record PortCountsNoMore(PsePortRef Port) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(Port, port => port with { Counting = PortFault.None.Counting });
}

/// <summary>A port feeds whatever its schedule says, or keeps it again.</summary>
public sealed record PortIgnoresPlan(PsePortRef Port, bool IsIgnoring) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(Port, port => port with { IgnoresPlan = IsIgnoring });
}

/// <summary>Somebody puts a port's untagged frames into another VLAN; null: as designed, 1 where the design does not say.</summary>
public sealed record PortInVlan(PsePortRef Port, int? Vlan) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(Port, port => port with { Vlan = Vlan });
}
