using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>One notice in the outbox.</summary>
/// <param name="Id">A whole number that rises; the receiver sees the same.</param>
/// <param name="State">waiting, sent or dead (given up).</param>
/// <param name="Kind">raised, severity-changed, cleared, an operator state, news or trial.</param>
/// <param name="Severity">Null where it is no alarm.</param>
/// <param name="At">When it happened.</param>
/// <param name="DueAt">Not sent before.</param>
/// <param name="IsHeld">True where it goes out in a digest.</param>
/// <param name="TriedAt">The last attempt, or null.</param>
/// <param name="Problem">Why the last attempt failed; empty where it did not.</param>
public sealed record NoticeContract(
    string Id,
    string Role,
    string Channel,
    string State,
    string Kind,
    string? Severity,
    string Resource,
    string Type,
    string Subject,
    DateTimeOffset At,
    DateTimeOffset DueAt,
    bool IsHeld,
    int AttemptCount,
    DateTimeOffset? TriedAt,
    string Problem)
{
    internal static NoticeContract From(Notice notice) => new(
        notice.Id.ToString(System.Globalization.CultureInfo.InvariantCulture),
        notice.Lane.Role,
        notice.Lane.Channel,
        NameOf(notice.State),
        notice.Content.Kind,
        notice.Content.Severity == default ? null : Names.Of(notice.Content.Severity),
        notice.Content.Resource,
        notice.Content.Type,
        NoticeText.Subject(notice.Content),
        notice.Content.At,
        notice.DueAt,
        notice.IsHeld,
        notice.Attempts,
        notice.TriedAt,
        notice.Problem);

    internal static string NameOf(NoticeState state) => state switch
    {
        NoticeState.Waiting => "waiting",
        NoticeState.Sent => "sent",
        NoticeState.Dead => "dead",
        _ => "unknown",
    };
}

/// <summary>A page of notices, newest first.</summary>
/// <param name="NextCursor">Give it as cursor for the next page; null on the last one.</param>
public sealed record NoticePage(IReadOnlyList<NoticeContract> Items, string? NextCursor);

/// <summary>A way for notices, from a role by a channel, and how it is.</summary>
/// <param name="WaitingCount">Notices that are not sent yet, as counted within the last minute.</param>
/// <param name="DeadCount">Notices given up and kept to be seen.</param>
/// <param name="SentAt">When a message was taken last since the start of the service.</param>
/// <param name="Problem">Why the last attempt failed; empty where it did not.</param>
/// <param name="FailingSince">Since when attempts fail; null where they do not.</param>
/// <param name="NextTryAt">Not tried before; null where nothing holds it.</param>
/// <param name="IsInSettings">False where only notices of a former lane are left.</param>
public sealed record NoticeLaneContract(
    string Role, string Channel, int WaitingCount, int DeadCount, DateTimeOffset? SentAt, string Problem, DateTimeOffset? FailingSince, DateTimeOffset? NextTryAt, bool IsInSettings)
{
    internal static NoticeLaneContract From(LaneView lane) => new(
        lane.Lane.Role, lane.Lane.Channel, lane.Waiting, lane.Dead, lane.SentAt, lane.Problem, lane.FailingSince, lane.NextTryAt, lane.IsInSettings);
}

/// <summary>Which lanes a trial notice goes to; all where neither is given.</summary>
public sealed record NoticeTrialRequest(string? Role, string? Channel);

/// <summary>Where a trial notice was put.</summary>
/// <param name="Lanes">Written role/channel.</param>
public sealed record NoticeTrialContract(IReadOnlyList<string> Lanes);
