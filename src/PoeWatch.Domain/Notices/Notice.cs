using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Notices;

/// <summary>A way for notices: to one role by one channel, both by the names of the settings. Within a lane notices keep their order.</summary>
public readonly record struct NoticeLane(string Role, string Channel)
{
    /// <summary>"operator/desk-mail": how the lane is written and stored.</summary>
    public override string ToString() => $"{Role}/{Channel}";

    /// <summary>The inverse of <see cref="ToString"/>.</summary>
    public static NoticeLane Parse(string name) => name.IndexOf('/', StringComparison.Ordinal) is var cut and > 0
        ? new NoticeLane(name[..cut], name[(cut + 1)..])
        : throw new FormatException($"'{name}' is no lane; it is written role/channel.");
}

/// <summary>What a notice is about that no alarm is; alarms have the words of <see cref="AlarmChangeKinds"/>.</summary>
public static class NoticeKinds
{
    /// <summary>Something to know that is no alarm, such as the signed root of a day.</summary>
    public const string News = "news";

    /// <summary>Somebody tries whether notices arrive.</summary>
    public const string Trial = "trial";
}

/// <summary>Where a notice is in its life; the numbers are stored.</summary>
public enum NoticeState
{
    Unknown = 0,
    Waiting = 1,
    Sent = 2,

    /// <summary>Given up, and kept to be seen: refused too often or too old.</summary>
    Dead = 3,
}

/// <summary>What a notice tells, whoever it goes to. Immutable.</summary>
/// <param name="Resource">What it is about, as in <see cref="AlarmKey"/>; order is kept for each resource.</param>
/// <param name="Type">Type of the alarm, or the topic of news.</param>
/// <param name="Kind">What happened: one of <see cref="AlarmChangeKinds"/> or <see cref="NoticeKinds"/>.</param>
/// <param name="Severity">Unknown where it is no alarm.</param>
/// <param name="At">When it happened, UTC.</param>
/// <param name="Since">Since when the alarm is or was active; null where it is no alarm.</param>
/// <param name="Place">Where, for people: poles by name; empty where nowhere in particular.</param>
/// <param name="PoleId">Pole that the link leads to; empty where there is none.</param>
/// <param name="Text">What is the case: numbers with provenance, the limit.</param>
/// <param name="NextSteps">What to do, with the safety caution; empty where nothing.</param>
/// <param name="Who">Person behind it; empty where the service itself.</param>
public sealed record NoticeContent(
    string Resource,
    string Type,
    string Kind,
    AlarmSeverity Severity,
    DateTimeOffset At,
    DateTimeOffset? Since,
    string Place,
    string PoleId,
    string Text,
    string NextSteps,
    string Who);

/// <summary>A notice that is to be put into the outbox.</summary>
/// <param name="PostKey">Names it within its lane: posting it again changes nothing.</param>
/// <param name="DueAt">Not sent before.</param>
/// <param name="IsHeld">True where it waits to go out together with others in one digest.</param>
public sealed record NewNotice(NoticeLane Lane, string PostKey, NoticeContent Content, DateTimeOffset DueAt, bool IsHeld);

/// <summary>A notice in the outbox. Immutable.</summary>
/// <param name="Id">Rises within the outbox; the same at each attempt, so that a receiver knows a repetition.</param>
/// <param name="Attempts">How often it was tried.</param>
/// <param name="TriedAt">Time of the last attempt; null where there was none.</param>
/// <param name="Problem">Why the last attempt failed, or why it was given up; empty where nothing failed.</param>
public sealed record Notice(
    long Id,
    NoticeLane Lane,
    NoticeContent Content,
    DateTimeOffset DueAt,
    bool IsHeld,
    NoticeState State,
    int Attempts,
    DateTimeOffset? TriedAt,
    string Problem);
