using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>How far a lane has read the changes of alarms, and what it was told. Immutable.</summary>
/// <param name="ReadTo">Number of the last change that the lane has taken.</param>
/// <param name="OpenedAt">Since when the lane is there.</param>
public sealed record LaneState(NoticeLane Lane, long ReadTo, DateTimeOffset OpenedAt, ImmutableArray<ToldAlarm> Told);

/// <summary>One step of a lane, kept whole or not at all: the changes up to a number are taken, and these notices come of them.</summary>
/// <param name="From">Number that the lane stood at.</param>
/// <param name="To">Number that it stands at then.</param>
/// <param name="At">Now.</param>
/// <param name="Told">Alarms that the lane is newly or otherwise told of.</param>
/// <param name="Untold">Alarms whose end it was told.</param>
public sealed record LaneStep(
    NoticeLane Lane, long From, long To, DateTimeOffset At, ImmutableArray<NewNotice> Notices, ImmutableArray<ToldAlarm> Told, ImmutableArray<AlarmKey> Untold);

/// <summary>How many notices of a lane are in a state.</summary>
/// <param name="OldestAt">When the oldest of them happened.</param>
public sealed record NoticeCount(NoticeLane Lane, NoticeState State, int Count, DateTimeOffset OldestAt);

/// <summary>What goes out of the outbox for good.</summary>
/// <param name="GiveUpBefore">Waiting notices of before are given up: dead.</param>
/// <param name="ForgetBefore">Sent notices tried last before are removed, and dead ones of what happened before.</param>
/// <param name="DeadMax">Dead notices that are kept in all; the oldest go first.</param>
public sealed record NoticeTidying(DateTimeOffset GiveUpBefore, DateTimeOffset ForgetBefore, int DeadMax, string Reason);

/// <summary>What tidying did.</summary>
public readonly record struct NoticesTidied(int GivenUp, int Forgotten, int TooMany);

/// <summary>
/// The outbox: notices until they are sent, and how far each lane has read the alarm changes, which are kept for good. So a notice that is not
/// written yet is still in the changes. Implementations are thread safe; each call is one transaction, synced when it returns.
/// </summary>
public interface INoticeStore
{
    /// <summary>The lane as it stands. One that is not there begins behind the newest change, so that nobody is told the past.</summary>
    Task<LaneState> OpenLaneAsync(NoticeLane lane, DateTimeOffset now, CancellationToken cancellationToken);

    /// <summary>Changes of alarms with a higher number, in order; none is passed over that could still appear below.</summary>
    Task<IReadOnlyList<NumberedChange>> ReadChangesAfterAsync(long number, int max, CancellationToken cancellationToken);

    /// <summary>
    /// Takes a step; false where the lane stands elsewhere, and then nothing was done. Notices with a post key that the lane has already are left
    /// out. Held notices of a resource that one goes out of at once become due with it: a resource keeps its order.
    /// </summary>
    Task<bool> StepLaneAsync(LaneStep step, CancellationToken cancellationToken);

    /// <summary>Puts in notices that no change of an alarm stands behind; those whose post key the lane has already are left out.</summary>
    Task PostNoticesAsync(IReadOnlyList<NewNotice> notices, CancellationToken cancellationToken);

    /// <summary>Waiting notices of a lane that are due, oldest first.</summary>
    Task<IReadOnlyList<Notice>> ReadDueAsync(NoticeLane lane, DateTimeOffset now, int max, CancellationToken cancellationToken);

    /// <summary>Notes an attempt and what came of it; of notices that are still waiting only.</summary>
    Task NoteAttemptAsync(IReadOnlyList<long> ids, NoticeState state, DateTimeOffset at, string problem, CancellationToken cancellationToken);

    /// <summary>Puts a dead notice back to waiting, due now; false where it is not dead.</summary>
    Task<bool> ReviveAsync(long id, DateTimeOffset now, CancellationToken cancellationToken);

    /// <summary>Newest first, below an id where given, in one state where given.</summary>
    Task<IReadOnlyList<Notice>> ReadNoticesAsync(NoticeState? state, long? below, int max, CancellationToken cancellationToken);

    Task<Notice?> FindNoticeAsync(long id, CancellationToken cancellationToken);

    /// <summary>Waiting and dead notices by lane, lanes among them that the settings have no longer.</summary>
    Task<IReadOnlyList<NoticeCount>> CountNoticesAsync(CancellationToken cancellationToken);

    Task<NoticesTidied> TidyNoticesAsync(NoticeTidying tidying, CancellationToken cancellationToken);
}
