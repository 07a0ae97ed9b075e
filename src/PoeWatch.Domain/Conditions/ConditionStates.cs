namespace PoeWatch.Domain.Conditions;

/// <summary>Whether a condition holds. What is unknown counts as if it could hold: the worst case.</summary>
public enum ConditionState
{
    Unknown = 0,
    Holds = 1,
    DoesNotHold = 2,
}

/// <summary>Where the knowledge of a condition comes from, in order of precedence: the smallest that says anything counts.</summary>
public enum ConditionOrigin
{
    /// <summary>Nobody says anything.</summary>
    Unknown = 0,

    /// <summary>Somebody posted it, and the time it was posted for is not over.</summary>
    Posted = 1,

    /// <summary>A thermometer that an agent serves.</summary>
    Thermometer = 2,

    /// <summary>Reckoned from the sun over the site's coordinates.</summary>
    Sun = 3,

    /// <summary>The climate that the design states for the month.</summary>
    Climate = 4,
}

/// <summary>How a condition is known. Immutable.</summary>
/// <param name="Who">Who posted it, or the id of the thermometer; empty for sun, climate and unknown.</param>
/// <param name="At">When it was posted, read or reckoned; null where nothing is known.</param>
/// <param name="Until">When this knowledge ends or changes; null where that is not known.</param>
public sealed record ConditionSource(ConditionOrigin Origin, string Who, DateTimeOffset? At, DateTimeOffset? Until)
{
    /// <summary>Nobody says anything.</summary>
    public static ConditionSource Nothing { get; } = new(ConditionOrigin.Unknown, "", null, null);

    /// <summary>What they wrote beside it, or what hinders; empty where nothing.</summary>
    public string Text { get; init; } = "";
}
