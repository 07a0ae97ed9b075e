using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Simulator.Faults;

/// <summary>One thing that happens to the simulated harbour. Each is a plain value; <see cref="FaultState"/> says what it does.</summary>
public abstract record SimulatedEvent
{
    private protected SimulatedEvent()
    {
    }

    internal abstract FaultState ApplyTo(FaultState before, TimeSpan at);
}

/// <summary>A device draws these watts at its input whatever the hour; null gives it back to its daily life.</summary>
public sealed record DeviceDraws(string DeviceId, Power? Draw) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        FixedDraws = Draw is { } draw ? before.FixedDraws.SetItem(DeviceId, draw) : before.FixedDraws.Remove(DeviceId),
        Creeps = Draw is null ? before.Creeps.Remove(DeviceId) : before.Creeps,
    };
}

/// <summary>A device's draw grows by so many watts an hour from now on, on top of what it draws.</summary>
public sealed record DeviceCreeps(string DeviceId, Power PerHour) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) =>
        before with { Creeps = before.Creeps.SetItem(DeviceId, new Creep(PerHour, at)) };
}

/// <summary>A device, extender or pass-through switch is unplugged, or put back.</summary>
public sealed record ElementPlugged(string ElementId, bool IsPlugged) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Unplugged = IsPlugged ? before.Unplugged.Remove(ElementId) : before.Unplugged.Add(ElementId),
    };
}

/// <summary>Something that no design knows hangs on a PSE port and draws these watts there; null takes it off.</summary>
public sealed record StrangerOnPort(PsePortRef Port, Stranger? Stranger) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Strangers = Stranger is { } stranger ? before.Strangers.SetItem(Port, stranger) : before.Strangers.Remove(Port),
    };
}

/// <summary>A port grants this class at most (the 30 W grant where 90 W was meant); null grants as designed again.</summary>
public sealed record PortGrants(PsePortRef Port, PoeClass? Highest) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Grants = Highest is { } highest ? before.Grants.SetItem(Port, highest) : before.Grants.Remove(Port),
    };
}

/// <summary>Somebody sets the priority of a port in the PSE; null sets it as designed again.</summary>
public sealed record PortPrioritySet(PsePortRef Port, Criticality? Priority) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Priorities = Priority is { } priority ? before.Priorities.SetItem(Port, priority) : before.Priorities.Remove(Port),
    };
}

/// <summary>A port's own trouble, or its end (<see cref="PortTrouble.None"/>).</summary>
public sealed record PortFails(PsePortRef Port, PortTrouble Trouble) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Troubles = Trouble == PortTrouble.None ? before.Troubles.Remove(Port) : before.Troubles.SetItem(Port, Trouble),
    };
}

/// <summary>Agents stop answering (a cut fibre, a hung process) or answer again. Power is not touched.</summary>
public sealed record AgentsReachable(ImmutableArray<string> ElementIds, bool AreReachable) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Unreachable = AreReachable ? before.Unreachable.Except(ElementIds) : before.Unreachable.Union(ElementIds),
    };
}

/// <summary>An agent starts anew: its up time and counters begin at zero, power is kept.</summary>
public sealed record AgentRestarts(string ElementId) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Restarts = before.Restarts.SetItem(
            ElementId, new Restart(at, before.Restarts.TryGetValue(ElementId, out var earlier) ? earlier.Count + 1 : 1)),
    };
}

/// <summary>A load case comes into force whatever its hours say (paging to all speakers, cold start), or ends.</summary>
public sealed record LoadCaseForced(string LoadCaseId, bool IsForced) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        ForcedLoadCases = IsForced ? before.ForcedLoadCases.Add(LoadCaseId) : before.ForcedLoadCases.Remove(LoadCaseId),
    };
}

/// <summary>The air takes this temperature (heater season); null lets the season decide again.</summary>
public sealed record AirTemperature(Temperature? Air) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with { Air = Air };
}

/// <summary>A supply of a PSE group fails or comes back.</summary>
public sealed record SupplyPresent(string PseId, int Group, string SupplyId, bool IsPresent) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at)
    {
        var supply = new SupplyRef(PseId, Group, SupplyId);
        return before with { LostSupplies = IsPresent ? before.LostSupplies.Remove(supply) : before.LostSupplies.Add(supply) };
    }
}
