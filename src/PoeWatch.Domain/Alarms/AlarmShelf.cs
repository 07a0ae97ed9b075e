namespace PoeWatch.Domain.Alarms;

/// <summary>
/// Until when an alarm is put aside, and how: shelved for a while, or its deviation from the design accepted until a date. Immutable.
/// </summary>
/// <param name="Until">UTC; from then on it is un-shelved by itself. Null only for one that an earlier version shelved without an end.</param>
/// <param name="AcceptedUpTo">
/// Null where shelved. Where the deviation is accepted: the severity up to which it is; as soon as the alarm grows more severe it comes back.
/// </param>
public sealed record AlarmShelf(DateTimeOffset? Until, AlarmSeverity? AcceptedUpTo)
{
    // A shift, a month and a year: common practice, no source. What lasts longer belongs into the design.
    public static readonly TimeSpan ShelfByDefault = TimeSpan.FromHours(8);
    public static readonly TimeSpan ShelfMax = TimeSpan.FromDays(30);
    public static readonly TimeSpan AcceptanceMax = TimeSpan.FromDays(366);

    public bool IsAcceptance => AcceptedUpTo is not null;

    /// <summary>Why it ends now; null while it does not.</summary>
    internal string? EndsBecause(DateTimeOffset now, Alarm alarm) =>
        Until <= now ? IsAcceptance ? "The time until which the deviation was accepted is over." : "The shelf's time is over."
        : AcceptedUpTo is { } accepted && !alarm.IsCleared && alarm.Severity > accepted
            ? $"It grew to {Word(alarm.Severity)}; the deviation was accepted up to {Word(accepted)}."
        : null;

    private static string Word(AlarmSeverity severity) => severity switch
    {
        AlarmSeverity.Warning => "warning",
        AlarmSeverity.Minor => "minor",
        AlarmSeverity.Major => "major",
        _ => "critical",
    };
}
