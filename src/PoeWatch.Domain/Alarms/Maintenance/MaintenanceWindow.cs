namespace PoeWatch.Domain.Alarms.Maintenance;

/// <summary>Announced work at a place from one moment to another: alarms inside are recorded as suppressed and call nobody. Immutable.</summary>
/// <param name="Id">Such as <c>mw-12</c>.</param>
/// <param name="Scope"><c>site</c>, or <c>pole/ID</c>, <c>switch/ID</c>, <c>run/ID</c>, <c>port/ID</c>.</param>
/// <param name="From">UTC.</param>
/// <param name="To">UTC, later than <paramref name="From"/>.</param>
/// <param name="Who">Who announced it; not empty.</param>
/// <param name="Reason">Why; not empty.</param>
public sealed record MaintenanceWindow(string Id, string Scope, DateTimeOffset From, DateTimeOffset To, string Who, string Reason, DateTimeOffset AddedAt)
{
    // Longer work belongs into the design: common practice, no source.
    public static readonly TimeSpan LengthMax = TimeSpan.FromDays(14);

    /// <summary>True where the design announces it.</summary>
    public bool IsOfDesign { get; init; }

    /// <summary>When somebody ended it before its time; null where nobody did.</summary>
    public DateTimeOffset? EndedAt { get; init; }

    /// <summary>Who did; empty where nobody.</summary>
    public string EndedBy { get; init; } = "";

    /// <summary>True within [From, To) and until it was ended.</summary>
    public bool IsInForce(DateTimeOffset now) => From <= now && now < To && EndedAt is null;

    /// <summary>True once it cannot come into force any more.</summary>
    public bool IsOver(DateTimeOffset now) => EndedAt is not null || To <= now;
}
