using System.Collections.Immutable;
using PoeWatch.Domain.Notices;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>What came of one attempt to send.</summary>
public enum SendingResult
{
    Unknown = 0,

    /// <summary>The receiver has it.</summary>
    Sent = 1,

    /// <summary>The receiver cannot be reached, or takes nothing now: the whole lane waits.</summary>
    Failed = 2,

    /// <summary>The receiver will not take this one: after a few attempts it is given up, and the lane goes on.</summary>
    Refused = 3,
}

/// <summary>Result of one attempt.</summary>
/// <param name="Problem">For people, without a secret; empty where it was sent.</param>
public readonly record struct Sending(SendingResult Result, string Problem)
{
    public static Sending Sent => new(SendingResult.Sent, "");

    public static Sending Failed(string problem) => new(SendingResult.Failed, problem);

    public static Sending Refused(string problem) => new(SendingResult.Refused, problem);
}

/// <summary>One message: a single notice, or a digest of several of one lane. Immutable.</summary>
/// <param name="Notices">At least one, oldest first.</param>
/// <param name="Text">Words for people.</param>
public sealed record NoticeMessage(ImmutableArray<Notice> Notices, NoticeText Text)
{
    public bool IsDigest => Notices.Length > 1;

    /// <summary>One line that says what the message is about.</summary>
    public string Subject => IsDigest ? Text.Subject(Notices) : NoticeText.Subject(Notices[0].Content);
}

/// <summary>A way out for notices. Expected failures are values; implementations are thread safe.</summary>
public interface INoticeChannel
{
    /// <summary>Name in the settings.</summary>
    string Name { get; }

    Task<Sending> SendAsync(NoticeMessage message, CancellationToken cancellationToken);
}

/// <summary>News for the roles that asked for its topic: kept in the outbox when it returns, sent at least once to each.</summary>
public interface INoticeOutbox
{
    /// <param name="postKey">Names it: posting it again, also after a restart, changes nothing.</param>
    /// <param name="topic">What roles ask for, such as <c>evidence-root</c>.</param>
    /// <param name="resource">What it is about; order is kept for each.</param>
    /// <param name="text">For people.</param>
    /// <exception cref="StoreException">It could not be kept: post it again.</exception>
    Task PostAsync(string postKey, string topic, string resource, string text, CancellationToken cancellationToken);
}

/// <summary>How one lane is.</summary>
/// <param name="Waiting">Notices that are not sent yet, held ones among them.</param>
/// <param name="Dead">Notices that were given up.</param>
/// <param name="SentAt">When one was sent last since the start; null where none was.</param>
/// <param name="Problem">Why the last attempt failed; empty where it did not.</param>
/// <param name="FailingSince">Since when attempts fail; null where they do not.</param>
/// <param name="NextTryAt">Not tried before; null where nothing holds it.</param>
/// <param name="IsInSettings">False where notices of a lane are left that the settings no longer have.</param>
public sealed record LaneView(
    NoticeLane Lane, int Waiting, int Dead, DateTimeOffset? SentAt, string Problem, DateTimeOffset? FailingSince, DateTimeOffset? NextTryAt, bool IsInSettings);

/// <summary>What people see of notices and do with them.</summary>
public interface INoticeDesk
{
    /// <summary>Lanes as they are now; waiting and dead as of the last look, seconds ago.</summary>
    ImmutableArray<LaneView> Lanes { get; }

    /// <summary>Puts a trial notice into each lane of a role and a channel (all where null); returns the lanes.</summary>
    Task<ImmutableArray<NoticeLane>> TryOutAsync(string? role, string? channel, string who, CancellationToken cancellationToken);

    /// <summary>Newest first.</summary>
    Task<IReadOnlyList<Notice>> ReadAsync(NoticeState? state, long? below, int max, CancellationToken cancellationToken);

    /// <summary>Sends a dead notice again; false where there is no dead one of that id.</summary>
    Task<bool> ReviveAsync(long id, CancellationToken cancellationToken);
}
