using System.Collections.Immutable;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Telemetry;

namespace PoeWatch.Monitoring.Notices;

/// <summary>What all lanes share.</summary>
public sealed record NoticeShared(
    INoticeStore Outbox, IAlarmStore Alarms, ISiteView Site, NoticeOptions Options, NoticeMetrics Metrics, TimeProvider Time, ILogger Log);

/// <summary>
/// One lane: takes the alarm changes into the outbox, then sends what is due, one message after the other. A notice is marked as sent only after
/// the receiver has it: a crash between the two sends it again. Owned by one loop; only <see cref="View"/> is for others.
/// </summary>
public sealed partial class NoticeLaneWorker(NoticeLane lane, RoleRoute route, INoticeChannel channel, NoticeShared shared)
{
    private const int ChangesAtOnce = 200;
    private const int DueAtOnce = 500;

    // What no change tells (a shelf that was opened, a consequence whose root is gone) is looked for this often.
    private static readonly TimeSpan StateLook = TimeSpan.FromMinutes(1);

    // What the receiver has but the store could not note: noted later, without sending it again as long as this process lives.
    private readonly HashSet<long> _unnoted = [];

    private LaneState? _state;
    private ImmutableDictionary<AlarmKey, ToldAlarm> _told = ImmutableDictionary<AlarmKey, ToldAlarm>.Empty;
    private DateTimeOffset? _stateSeenAt;
    private int _failures;
    private LaneView _view = new(lane, 0, 0, null, "", null, null, true);

    public NoticeLane Lane => lane;

    public RoleRoute Route => route;

    /// <summary>How the lane is.</summary>
    public LaneView View => Volatile.Read(ref _view);

    /// <summary>True where the lane has so many waiting notices that it takes no more changes.</summary>
    public bool IsFull => View.Waiting >= shared.Options.WaitingMax;

    /// <summary>Takes over how many of its notices wait and are dead.</summary>
    public void Show(int waiting, int dead) => Change(v => v with { Waiting = waiting, Dead = dead });

    /// <summary>One step on: takes changes, sends what is due. True where more may be done at once.</summary>
    /// <exception cref="StoreException">The store is away; nothing is lost.</exception>
    public async Task<bool> StepAsync(CancellationToken cancellationToken)
    {
        if (_state is null)
        {
            _state = await shared.Outbox.OpenLaneAsync(lane, shared.Time.GetUtcNow(), cancellationToken).ConfigureAwait(false);
            _told = _state.Told.ToImmutableDictionary(t => t.Key, t => t);
            NoticeCount[] counts = [.. (await shared.Outbox.CountNoticesAsync(cancellationToken).ConfigureAwait(false)).Where(c => c.Lane == lane)];
            Show(counts.Where(c => c.State == NoticeState.Waiting).Sum(c => c.Count), counts.Where(c => c.State == NoticeState.Dead).Sum(c => c.Count));
        }

        var hasMore = !IsFull && await TakeChangesAsync(_state, cancellationToken).ConfigureAwait(false);
        return await SendDueAsync(cancellationToken).ConfigureAwait(false) || hasMore;
    }

    private async Task<bool> TakeChangesAsync(LaneState state, CancellationToken cancellationToken)
    {
        DateTimeOffset now = shared.Time.GetUtcNow();
        IReadOnlyList<NumberedChange> changes = await shared.Outbox.ReadChangesAfterAsync(
            state.ReadTo, Math.Min(ChangesAtOnce, shared.Options.WaitingMax - View.Waiting), cancellationToken).ConfigureAwait(false);
        if (changes.Count == 0 && _stateSeenAt is { } seen && seen <= now && now - seen < StateLook)
        {
            return false;
        }

        Dictionary<AlarmKey, Alarm> alarms =
            (await shared.Alarms.LoadAlarmsAsync(cancellationToken).ConfigureAwait(false)).ToDictionary(a => a.Key);
        DesignModel design = shared.Site.Current.Design;
        var frame = new PlanFrame(lane, route, new NoticePlaces(design), SiteClock.ZoneOf(design.Site.TimeZoneId), state.OpenedAt, now);

        // The state is looked at only where no change waits: else it would tell what a change is about to.
        NoticePlan plan = changes.Count > 0
            ? NoticePlanner.OfChanges(frame, _told, changes, alarms)
            : NoticePlanner.OfState(frame, _told, alarms);
        _stateSeenAt = changes.Count > 0 ? null : now;
        await KeepAsync(state, changes.Count > 0 ? changes[^1].Number : state.ReadTo, plan, now, cancellationToken).ConfigureAwait(false);
        return changes.Count > 0;
    }

    private async Task KeepAsync(LaneState state, long to, NoticePlan plan, DateTimeOffset now, CancellationToken cancellationToken)
    {
        var step = new LaneStep(
            lane,
            state.ReadTo,
            to,
            now,
            plan.Notices,
            [.. plan.Told.Values.Where(t => !_told.TryGetValue(t.Key, out ToldAlarm? known) || known != t)],
            [.. _told.Keys.Where(key => !plan.Told.ContainsKey(key))]);
        if (to == state.ReadTo && step.Notices.IsEmpty && step.Told.IsEmpty && step.Untold.IsEmpty)
        {
            return;
        }

        if (!await shared.Outbox.StepLaneAsync(step, cancellationToken).ConfigureAwait(false))
        {
            // Another service over the same store moved the lane, or an answer was lost: look where it stands.
            _state = null;
            return;
        }

        _state = state with { ReadTo = to };
        _told = plan.Told;
        shared.Metrics.Posted(lane, step.Notices.Length);
        Change(v => v with { Waiting = v.Waiting + step.Notices.Length });
    }

    private async Task<bool> SendDueAsync(CancellationToken cancellationToken)
    {
        DateTimeOffset now = shared.Time.GetUtcNow();
        if (View.NextTryAt is { } next && now < next)
        {
            return false;
        }

        IReadOnlyList<Notice> due = await shared.Outbox.ReadDueAsync(lane, now, DueAtOnce, cancellationToken).ConfigureAwait(false);
        var text = new NoticeText(
            shared.Options.DashboardUrl is { } url ? new Uri(url) : null, SiteClock.ZoneOf(shared.Site.Current.Design.Site.TimeZoneId));
        foreach (ImmutableArray<Notice> part in SendOrder.Of(due))
        {
            Sending sending = part.All(n => _unnoted.Contains(n.Id))
                ? Sending.Sent
                : await SendAsync(new NoticeMessage(part, text), cancellationToken).ConfigureAwait(false);
            if (sending.Result == SendingResult.Sent)
            {
                _unnoted.UnionWith(part.Select(n => n.Id));
            }

            await NoteAsync(part, sending).ConfigureAwait(false);
            _unnoted.Clear();
            if (sending.Result != SendingResult.Sent)
            {
                return false;
            }
        }

        return due.Count == DueAtOnce;
    }

    private async Task<Sending> SendAsync(NoticeMessage message, CancellationToken cancellationToken)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        using ITimer timer = shared.Time.CreateTimer(_ => limit.Cancel(), null, shared.Options.SendTimeMax, Timeout.InfiniteTimeSpan);
        long began = shared.Time.GetTimestamp();
        try
        {
            return await channel.SendAsync(message, limit.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (!cancellationToken.IsCancellationRequested)
        {
            return Sending.Failed(FormattableString.Invariant($"The receiver did not finish within {shared.Options.SendTimeMax.TotalSeconds:0} s."));
        }
        catch (Exception bug) when (bug is not OperationCanceledException)
        {
            LogChannelFault(shared.Log, lane.ToString(), bug);
            return Sending.Failed($"The service itself failed: {bug.GetType().Name}. The log has more.");
        }
        finally
        {
            shared.Metrics.Tried(lane, shared.Time.GetElapsedTime(began));
        }
    }

    // Noted even while stopping: the receiver has it already.
    private async Task NoteAsync(ImmutableArray<Notice> part, Sending sending)
    {
        DateTimeOffset now = shared.Time.GetUtcNow();
        var isGivenUp = sending.Result == SendingResult.Refused && part[0].Attempts + 1 >= shared.Options.RefusalsMax;
        NoticeState state = sending.Result == SendingResult.Sent ? NoticeState.Sent : isGivenUp ? NoticeState.Dead : NoticeState.Waiting;
        await shared.Outbox.NoteAttemptAsync([.. part.Select(n => n.Id)], state, now, sending.Problem, CancellationToken.None).ConfigureAwait(false);
        if (state == NoticeState.Sent)
        {
            _failures = 0;
            shared.Metrics.Sent(lane, part.Length);
            if (View.FailingSince is { } since)
            {
                LogBack(shared.Log, lane.ToString(), (now - since).TotalSeconds);
            }

            Change(v => v with { Waiting = Math.Max(0, v.Waiting - part.Length), SentAt = now, Problem = "", FailingSince = null, NextTryAt = null });
            return;
        }

        shared.Metrics.Failed(lane);
        if (isGivenUp)
        {
            shared.Metrics.GivenUp(lane, part.Length);
            LogGivenUp(shared.Log, lane.ToString(), part.Length, part[0].Id, sending.Problem);
            Change(v => v with { Waiting = Math.Max(0, v.Waiting - part.Length), Dead = v.Dead + part.Length });
        }
        else if (View.FailingSince is null)
        {
            LogFailing(shared.Log, lane.ToString(), sending.Problem);
        }

        _failures = isGivenUp ? 0 : _failures + 1;
        DateTimeOffset next = now + NoticeBackoff.Wait(_failures, shared.Options.RetryFirst, shared.Options.RetryMax);
        Change(v => v with { Problem = sending.Problem, FailingSince = v.FailingSince ?? now, NextTryAt = next });
    }

    private void Change(Func<LaneView, LaneView> change) => Volatile.Write(ref _view, change(_view));

    [LoggerMessage(3201, LogLevel.Warning, "Notices to {Lane} do not arrive and wait: {Problem}")]
    private static partial void LogFailing(ILogger log, string lane, string problem);

    [LoggerMessage(3202, LogLevel.Information, "Notices to {Lane} arrive again after {Seconds} s.")]
    private static partial void LogBack(ILogger log, string lane, double seconds);

    [LoggerMessage(3203, LogLevel.Error, "{Count} notices to {Lane} are given up, the first is {Id}: {Problem}")]
    private static partial void LogGivenUp(ILogger log, string lane, int count, long id, string problem);

    [LoggerMessage(3204, LogLevel.Error, "Sending to {Lane} ended in a fault of the service itself; it is tried again.")]
    private static partial void LogChannelFault(ILogger log, string lane, Exception bug);
}
