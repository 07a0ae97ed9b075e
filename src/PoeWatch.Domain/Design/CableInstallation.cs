using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design;

/// <summary>
/// How a segment hangs: its cords and contacts, its bundle, what it is rated for, how unlike its pairs are. Immutable and thread safe. What is not said changes nothing: no
/// cords, no contacts, no bundle, pairs alike.
/// </summary>
public sealed record CableInstallation
{
    /// <summary>Temperature that cable sold without a statement is rated for (common practice, no source).</summary>
    public static Temperature UsualRating { get; } = Temperature.FromCelsius(60.0);

    /// <summary>A segment of which nothing is said.</summary>
    public static CableInstallation Plain { get; } = new();

    /// <summary>All patch cords of the segment together; they come on top of its length.</summary>
    public Length Cords { get; init; }

    /// <summary>One conductor of all cords together, at their temperature.</summary>
    public Resistance CordConductor { get; init; }

    /// <summary>Plugs and sockets that a conductor passes.</summary>
    public int Contacts { get; init; }

    /// <summary>Each of them.</summary>
    public Resistance PerContact { get; init; } = ChannelResistance.WorstContact;

    /// <summary>Powered cables of the bundle, this one counted; 0 where none is said.</summary>
    public int BundledCables { get; init; }

    /// <summary>How much the bundle warms.</summary>
    public BundledCable BundleCategory { get; init; } = BundledCable.Category5e;

    /// <summary>Warmest that the cable is made for.</summary>
    public Temperature Rating { get; init; } = UsualRating;

    /// <summary>By how much one pairset of a channel over four pairs carries more than half.</summary>
    public Ratio PairUnbalance { get; init; }

    /// <summary>Most amperes of one pairset, where the design knows better than the type.</summary>
    public Current? PairsetLimit { get; init; }

    /// <summary>Screened cable loses less reach by warmth.</summary>
    public bool IsScreened { get; init; }

    /// <summary>Temperature of the conductors while the loop was measured; null where it counts for the temperature of the design.</summary>
    public Temperature? MeasuredAt { get; init; }

    /// <summary>True where the design says how warm the cable lies; false where the usual temperature stands in.</summary>
    public bool IsTemperatureKnown { get; init; }
}
