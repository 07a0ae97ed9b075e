using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Readings;

/// <summary>The state that RFC 3621's pethPsePortDetectionStatus names; the numbers are the MIB's own.</summary>
public enum PortState : byte
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
    private const long NoAge = long.MinValue;

    // The newest reading of every port of a site is held at once, so numbers that may be missing are held without a flag of their own.
    private readonly double _draw = Held(DrawAtPse);
    private readonly double _resolution = double.NaN;
    private readonly long _age = NoAge;
    private readonly byte _assignedClass = Held(AssignedClass);

    public Power? DrawAtPse
    {
        get => Known(_draw);
        init => _draw = Held(value);
    }

    public PoeClass? AssignedClass
    {
        get => _assignedClass == 0 ? null : (PoeClass)(_assignedClass - 1);
        init => _assignedClass = Held(value);
    }

    /// <summary>Priority that is configured in the PSE (RFC 3621 pethPsePortPowerPriority); unknown where its agent does not say.</summary>
    public Criticality Priority { get; init; }

    /// <summary>Smallest step of the watts, or the accuracy that the agent states where that is coarser; null where there are none or it is unknown.</summary>
    public Power? Resolution
    {
        get => Known(_resolution);
        init => _resolution = Held(value);
    }

    /// <summary>How old the watts were when they were read; null where there are none or it is unknown.</summary>
    public TimeSpan? Age
    {
        get => _age == NoAge ? null : new TimeSpan(_age);
        init => _age = value?.Ticks ?? NoAge;
    }

    /// <summary>What the watts were read from, for people; empty where there are none, and in readings out of the history.</summary>
    public string Source { get; init; } = string.Empty;

    /// <summary>The draw where it is one, else null: a ceiling never passes as a draw.</summary>
    public Power? Draw => Provenance.IsDraw() ? DrawAtPse : null;

    /// <summary>A reading of a port that nothing is known of.</summary>
    public static PortReading Nothing(PsePortRef port) => new(port, PortState.Unknown, null, Provenance.Unknown, null);

    // No power is NaN.
    private static double Held(Power? power) => power?.Watts ?? double.NaN;

    private static byte Held(PoeClass? assigned) => assigned is { } known ? (byte)(known + 1) : (byte)0;

    private static Power? Known(double watts) => double.IsNaN(watts) ? null : Power.FromWatts(watts);
}
