namespace PoeWatch.Domain.PowerFlow;

/// <summary>Kinds of limit that one more watt can break.</summary>
public enum LimitKind
{
    Unknown = 0,
    PsePort = 1,
    InjectorRating = 2,
    ExtenderInput = 3,
    ExtenderOutput = 4,
    PassThroughInput = 5,
    PassThroughOutput = 6,
    PassThroughTotal = 7,

    /// <summary>What the PD's own class lets it take.</summary>
    PdClass = 8,
    PdVoltage = 9,

    /// <summary>All powered pairs of a segment together.</summary>
    PairCurrent = 10,
    VoltageCollapse = 11,
    GroupBudget = 12,
    Supply = 13,

    /// <summary>Cable and cords against 100 m.</summary>
    SegmentLength = 14,

    /// <summary>What the class lets a PD take that the output in front of it grants.</summary>
    GrantableClass = 15,

    /// <summary>Conductors against what the cable is rated for.</summary>
    CableTemperature = 16,

    /// <summary>Cable and cords against the length that data may have in so warm a cable. Always advice: it says nothing of power.</summary>
    DeratedLength = 17,

    /// <summary>Loop of a segment against the channel of the type that feeds it. Always advice: volts and watts are held to limits of their own.</summary>
    LoopResistance = 18,

    /// <summary>The pairset that carries more, over four pairs.</summary>
    PairsetCurrent = 19,

    /// <summary>A PD that takes more than its class because it knows its channel: the class's watts, at the PSE.</summary>
    ExtendedPower = 20,

    /// <summary>What the class lets a PD take that an extender or pass-through switch can hand on from its own. Always advice: none of its watts is certain.</summary>
    PassedOnClass = 21,

    /// <summary>Cables on the outputs of an extender or pass-through switch.</summary>
    OutputCount = 22,

    /// <summary>What the bundle's own heat adds to the temperature of its surroundings. Always advice: what the cable bears is <see cref="CableTemperature"/>.</summary>
    BundleRise = 23,
}
