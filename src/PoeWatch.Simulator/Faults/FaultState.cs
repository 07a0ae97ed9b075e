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

    /// <summary>Segments with more ohms than designed, by segment.</summary>
    public ImmutableDictionary<string, Joint> Joints { get; init; } = ImmutableDictionary<string, Joint>.Empty;

    /// <summary>What hangs there instead, by the id of the designed device.</summary>
    public ImmutableDictionary<string, Occupant> Occupants { get; init; } = ImmutableDictionary<string, Occupant>.Empty;

    public ImmutableDictionary<string, PoeClass> AskedClasses { get; init; } = ImmutableDictionary<string, PoeClass>.Empty;

    /// <summary>Switches and injectors whose own mains is gone.</summary>
    public ImmutableHashSet<string> WithoutMains { get; init; } = [];

    public bool IsSiteWithoutMains { get; init; }

    public ImmutableHashSet<string> UpsOnBattery { get; init; } = [];

    /// <summary>Temperature inside, by the element whose agent shows it.</summary>
    public ImmutableDictionary<string, Temperature> Cabinets { get; init; } = ImmutableDictionary<string, Temperature>.Empty;

    public ImmutableDictionary<PsePortRef, PortFault> Ports { get; init; } = ImmutableDictionary<PsePortRef, PortFault>.Empty;

    public ImmutableDictionary<string, AgentFault> Agents { get; init; } = ImmutableDictionary<string, AgentFault>.Empty;

    /// <summary>Type of what hangs in the place of a designed device.</summary>
    public string TypeIn(PoweredDevice designed) => Occupants.TryGetValue(designed.Id, out var occupant) ? occupant.TypeId : designed.TypeId;

    public PortFault At(PsePortRef port) => Ports.GetValueOrDefault(port, PortFault.None);

    public AgentFault AtAgent(string elementId) => Agents.GetValueOrDefault(elementId, AgentFault.None);

    public FaultState With(PsePortRef port, Func<PortFault, PortFault> change) => this with { Ports = Ports.SetItem(port, change(At(port))) };

    public FaultState With(string elementId, Func<AgentFault, AgentFault> change) =>
        this with { Agents = Agents.SetItem(elementId, change(AtAgent(elementId))) };

    /// <summary>The draw of a device whose healthy draw is known, at a time since the start.</summary>
    public Power DrawOf(string deviceId, Power healthy, TimeSpan at)
    {
        var draw = FixedDraws.GetValueOrDefault(deviceId, healthy);
        return Creeps.TryGetValue(deviceId, out var creep) ? draw + (creep.PerHour * (at - creep.Since).TotalHours) : draw;
    }
}
