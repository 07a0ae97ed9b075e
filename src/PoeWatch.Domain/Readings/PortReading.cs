using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Readings;

/// <summary>The state that RFC 3621's pethPsePortDetectionStatus names; the numbers are the MIB's own.</summary>
public enum PortState
{
    Unknown = 0,
    Disabled = 1,
    Searching = 2,
    Delivering = 3,
    Fault = 4,
    Test = 5,
    OtherFault = 6,
}

/// <summary>What one poll says of one PSE port. Immutable. The time and the switch stand in the <see cref="SwitchReading"/> around it.</summary>
/// <param name="Port">Which port.</param>
/// <param name="State">Its state; <see cref="PortState.Unknown"/> where the agent did not say.</param>
/// <param name="DrawAtPse">
/// Watts at the PSE with the meaning that <paramref name="Provenance"/> gives: a draw, or only a ceiling of it. Null exactly where provenance is
/// <see cref="Provenance.Unknown"/>.
/// </param>
/// <param name="Provenance">How the watts are known.</param>
/// <param name="AssignedClass">Class that the PSE reports while delivering; null where it does not.</param>
public sealed record PortReading(PsePortRef Port, PortState State, Power? DrawAtPse, Provenance Provenance, PoeClass? AssignedClass)
{
    /// <summary>Priority that is configured in the PSE (RFC 3621 pethPsePortPowerPriority); unknown where its agent does not say.</summary>
    public Criticality Priority { get; init; }

    /// <summary>Smallest step of the watts, or the accuracy that the agent states where that is coarser; null where there are none or it is unknown.</summary>
    public Power? Resolution { get; init; }

    /// <summary>How old the watts were when they were read; null where there are none or it is unknown.</summary>
    public TimeSpan? Age { get; init; }

    /// <summary>What the watts were read from, for people; empty where there are none, and in readings out of the history.</summary>
    public string Source { get; init; } = string.Empty;

    /// <summary>The draw where it is one, else null: a ceiling never passes as a draw.</summary>
    public Power? Draw => Provenance.IsDraw() ? DrawAtPse : null;

    /// <summary>A reading of a port that nothing is known of.</summary>
    public static PortReading Nothing(PsePortRef port) => new(port, PortState.Unknown, null, Provenance.Unknown, null);
}
