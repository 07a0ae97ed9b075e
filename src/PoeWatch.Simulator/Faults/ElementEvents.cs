using System.Collections.Immutable;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.Faults;

/// <summary>A wet joint or corroded contact: the loop of a segment has so many ohms more than designed; null makes it as designed.</summary>
/// <param name="Gain">Over all powered pairs together, as the current meets it.</param>
public sealed record SegmentGains(string SegmentId, Resistance? Gain) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Joints = Gain is { } gain ? before.Joints.SetItem(SegmentId, new Joint(gain, Resistance.Zero, at)) : before.Joints.Remove(SegmentId),
    };
}

/// <summary>The loop of a segment grows from now on, on top of what it has gained so far.</summary>
public sealed record SegmentCorrodes(string SegmentId, Resistance PerDay) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Joints = before.Joints.SetItem(SegmentId, new Joint(before.Joints.GetValueOrDefault(SegmentId).At(at), PerDay, at)),
    };
}

/// <summary>A device of another type hangs in the place of the designed one; null puts the designed one back.</summary>
public sealed record DeviceSwapped(string DeviceId, string? TypeId) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Occupants = TypeId is null
            ? before.Occupants.Remove(DeviceId)
            : before.Occupants.SetItem(DeviceId, new Occupant(TypeId, $"other-{TypeId}-{DeviceId}")),
    };
}

/// <summary>Two devices hang in each other's places.</summary>
/// <param name="First">Place, type and LLDP name of what is designed there; null where the design gives no name.</param>
public sealed record DevicesChangePlaces((string Id, string TypeId, string? Name) First, (string Id, string TypeId, string? Name) Second) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Occupants = before.Occupants.SetItem(First.Id, new Occupant(Second.TypeId, Second.Name)).SetItem(Second.Id, new Occupant(First.TypeId, First.Name)),
    };
}

/// <summary>A device asks for this class when it is classified (wrong class after a reboot); null lets it ask as designed.</summary>
public sealed record DeviceAsks(string DeviceId, PoeClass? Requested) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        AskedClasses = Requested is { } requested ? before.AskedClasses.SetItem(DeviceId, requested) : before.AskedClasses.Remove(DeviceId),
    };
}

/// <summary>Whole switches or injectors lose their mains, and all behind them goes dark; or it comes back.</summary>
public sealed record MainsPresent(ImmutableArray<string> ElementIds, bool IsPresent) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        WithoutMains = IsPresent ? before.WithoutMains.Except(ElementIds) : before.WithoutMains.Union(ElementIds),
    };
}

/// <summary>The whole site loses its mains, or has it again. What a UPS feeds lives on its battery.</summary>
public sealed record SiteMainsPresent(bool IsPresent) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with { IsSiteWithoutMains = !IsPresent };
}

/// <summary>A UPS has no mains at its input and feeds from its battery, or has it again.</summary>
public sealed record UpsOnBattery(string UpsId, bool IsOnBattery) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        UpsOnBattery = IsOnBattery ? before.UpsOnBattery.Add(UpsId) : before.UpsOnBattery.Remove(UpsId),
    };
}

/// <summary>The cabinets of a switch take this temperature; null lets the air outside decide again.</summary>
public sealed record CabinetTemperature(string ElementId, Temperature? Inside) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before with
    {
        Cabinets = Inside is { } inside ? before.Cabinets.SetItem(ElementId, inside) : before.Cabinets.Remove(ElementId),
    };
}
