using System.Collections.Immutable;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design;

/// <summary>One PoE input, two (or more) PoE outputs, no mains. Outputs are the input passed on at the voltage that arrives.</summary>
/// <param name="InputLimit">The most it may take at its input.</param>
/// <param name="OwnDraw">What it needs itself.</param>
/// <param name="OutputCount">Outputs, numbered from 1.</param>
/// <param name="OutputLimit">The most that one output gives.</param>
public sealed record Extender(string Id, string Name, string? PoleId, Power InputLimit, Power OwnDraw, int OutputCount, Power OutputLimit);

/// <summary>Pole switch fed by one PoE uplink; its outputs together never exceed its input less its own draw and losses.</summary>
/// <param name="InputLimit">The most it may take at its uplink, at the PD end.</param>
/// <param name="OwnDraw">What it needs itself.</param>
/// <param name="Efficiency">Output over input of its converter, 0..1; 1 where outputs are raw pass-through.</param>
/// <param name="OutputVoltage">Regulated output volts; null where outputs are at the voltage that arrives.</param>
/// <param name="OutputLimit">The most that one output gives.</param>
/// <param name="TotalLimit">The most that all outputs give together.</param>
/// <param name="Agent">Null where unmanaged: then its outputs are unmetered.</param>
public sealed record PassThroughSwitch(
    string Id,
    string Name,
    string? PoleId,
    Power InputLimit,
    Power OwnDraw,
    Ratio Efficiency,
    Voltage? OutputVoltage,
    int OutputCount,
    Power OutputLimit,
    Power TotalLimit,
    SnmpAgent? Agent);

/// <summary>Conductor material; copper-clad aluminium meets no cabling category and is flagged wherever it stands.</summary>
public enum ConductorMaterial
{
    Copper = 0,
    CopperCladAluminium = 1,
}

/// <summary>Where a cable starts: an element and its output (or PSE port) number. For a switch the group counts, elsewhere it is 1.</summary>
public readonly record struct Termination(string ElementId, int Group, int Output)
{
    public override string ToString() => FormattableString.Invariant($"{ElementId}:{Group}/{Output}");
}

/// <summary>A stretch of cable between two terminations, at most 100 m.</summary>
/// <param name="From">Feeding end.</param>
/// <param name="To">Element at the fed end.</param>
/// <param name="GaugeAwg">American wire gauge: 22, 23, 24 or 26.</param>
/// <param name="Pairs">Powered pairs: 2 or 4.</param>
/// <param name="Category">Cabling category as designed, for people; null where not said.</param>
/// <param name="MeasuredLoop">Loop resistance as a tester prints it for one pair (there and back), cords and contacts included, if somebody measured it.</param>
/// <param name="Conductor">Temperature the cable is designed for, before its own bundle warms it.</param>
public sealed record CableSegment(
    string Id,
    Termination From,
    string To,
    Length Length,
    int GaugeAwg,
    int Pairs,
    string? Category,
    ConductorMaterial Material,
    Resistance? MeasuredLoop,
    Temperature Conductor)
{
    /// <summary>How it hangs; by default nothing is said of it.</summary>
    public CableInstallation Installation { get; init; } = CableInstallation.Plain;

    /// <summary>Cable and cords: what the 100 m of a channel are counted in.</summary>
    public Length Channel => Length + Installation.Cords;
}

/// <summary>A kind of device.</summary>
/// <param name="RequestedClass">Class that it asks for.</param>
/// <param name="Demand">Power it may need at its input where a load case says nothing else; with <see cref="Physical"/> its typical one.</param>
/// <param name="DemandByLoadCase">Power it may need at its input, by load case id: stands above all conditions.</param>
public sealed record DeviceType(
    string Id, string Name, PoeClass RequestedClass, Power Demand, ImmutableDictionary<string, Power> DemandByLoadCase)
{
    /// <summary>
    /// True where it knows the loss of its channel and, granted class 6 or 8, takes more than the class's watts as long as 60 or 90 W at the PSE suffice.
    /// </summary>
    public bool TakesExtendedPower { get; init; }

    /// <summary>What it takes by condition; null where the design gives one figure for all of them.</summary>
    public PhysicalDemand? Physical { get; init; }

    /// <summary>Where the figures come from; empty where nobody says.</summary>
    public string Source { get; init; } = "";

    /// <summary>File that it was written in.</summary>
    public string WrittenIn { get; init; } = "";
}

/// <summary>A device that is fed.</summary>
public sealed record PoweredDevice(string Id, string Name, string TypeId, string? PoleId, Criticality Criticality)
{
    /// <summary>The speakers that page together with it; null where the design does not say. Those without a group page together.</summary>
    public string? PagingGroup { get; init; }

    /// <summary>System name that it tells over LLDP; null where the design does not say.</summary>
    public string? LldpName { get; init; }
}
