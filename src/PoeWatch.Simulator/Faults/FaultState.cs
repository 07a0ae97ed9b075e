using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Simulator.Faults;

/// <summary>What can be wrong with a PSE port itself.</summary>
public enum PortTrouble
{
    None = 0,

    /// <summary>Fails its own test: RFC 3621 fault(4).</summary>
    Fault = 1,

    /// <summary>Short circuit on the cable: trips, waits and tries again.</summary>
    Short = 2,

    /// <summary>What hangs there shows no valid detection signature.</summary>
    InvalidSignature = 3,

    /// <summary>Switched off by its management.</summary>
    SwitchedOff = 4,
}

/// <summary>Something on a port that no design knows.</summary>
/// <param name="DrawAtPse">Watts at the port.</param>
public sealed record Stranger(Power DrawAtPse, PoeClass RequestedClass);

internal readonly record struct Creep(Power PerHour, TimeSpan Since);

internal readonly record struct Restart(TimeSpan At, int Count);

internal readonly record struct SupplyRef(string PseId, int Group, string SupplyId);

/// <summary>Everything that is out of the ordinary at one moment: what a script's events up to then amount to. Immutable.</summary>
internal sealed record FaultState
{
    public static FaultState Calm { get; } = new();

    public ImmutableDictionary<string, Power> FixedDraws { get; init; } = ImmutableDictionary<string, Power>.Empty;

    public ImmutableDictionary<string, Creep> Creeps { get; init; } = ImmutableDictionary<string, Creep>.Empty;

    public ImmutableHashSet<string> Unplugged { get; init; } = [];

    public ImmutableDictionary<PsePortRef, Stranger> Strangers { get; init; } = ImmutableDictionary<PsePortRef, Stranger>.Empty;

    public ImmutableDictionary<PsePortRef, PoeClass> Grants { get; init; } = ImmutableDictionary<PsePortRef, PoeClass>.Empty;

    public ImmutableDictionary<PsePortRef, Criticality> Priorities { get; init; } = ImmutableDictionary<PsePortRef, Criticality>.Empty;

    public ImmutableDictionary<PsePortRef, PortTrouble> Troubles { get; init; } = ImmutableDictionary<PsePortRef, PortTrouble>.Empty;

    public ImmutableHashSet<string> Unreachable { get; init; } = [];

    public ImmutableDictionary<string, Restart> Restarts { get; init; } = ImmutableDictionary<string, Restart>.Empty;

    public ImmutableHashSet<string> ForcedLoadCases { get; init; } = [];

    public Temperature? Air { get; init; }

    public ImmutableHashSet<SupplyRef> LostSupplies { get; init; } = [];

    /// <summary>The draw of a device whose healthy draw is known, at a time since the start.</summary>
    public Power DrawOf(string deviceId, Power healthy, TimeSpan at)
    {
        var draw = FixedDraws.GetValueOrDefault(deviceId, healthy);
        return Creeps.TryGetValue(deviceId, out var creep) ? draw + (creep.PerHour * (at - creep.Since).TotalHours) : draw;
    }
}
