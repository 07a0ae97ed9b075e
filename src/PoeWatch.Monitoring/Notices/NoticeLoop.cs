using System.Collections.Immutable;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Telemetry;

namespace PoeWatch.Monitoring.Notices;

/// <summary>
/// Runs the lanes side by side, so that a receiver that hangs holds up nobody else, and tidies the outbox. Thread safe where public.
/// </summary>
public sealed partial class NoticeLoop : BackgroundService, INoticeDesk, INoticeOutbox
{
    private static readonly TimeSpan Beat = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan StoreRetry = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan TidyPeriod = TimeSpan.FromMinutes(1);

    private readonly ImmutableArray<NoticeLaneWorker> _workers;
    private readonly NoticeShared _shared;
    private readonly StoreGate _gate;
    private readonly ILogger<NoticeLoop> _log;
    private ImmutableArray<LaneView> _leftOver = [];
    private string _problem = "";

    public NoticeLoop(
        NoticeRoutes routes,
        IEnumerable<INoticeChannel> channels,
        INoticeStore outbox,
        IAlarmStore alarms,
        ISiteView site,
        StoreGate gate,
        IOptions<NoticeOptions> options,
        NoticeMetrics metrics,
        TimeProvider time,
        ILogger<NoticeLoop> log)
    {
        (_gate, _log) = (gate, log);
        _shared = new NoticeShared(outbox, alarms, site, options.Value, metrics, time, log);
        Dictionary<string, INoticeChannel> byName = channels.ToDictionary(c => c.Name, StringComparer.Ordinal);
        _workers = [.. routes.Lanes.Select(l => new NoticeLaneWorker(l.Lane, l.Route, byName[l.Lane.Channel], _shared))];
        metrics.Watch(() => Lanes);
    }

    /// <inheritdoc/>
    public ImmutableArray<LaneView> Lanes => [.. _workers.Select(w => w.View), .. _leftOver];

    /// <summary>Why the outbox is not worked on; empty where it is.</summary>
    public string Problem => Volatile.Read(ref _problem);

    /// <summary>Lanes that hold as many notices as they may.</summary>
    public int FullLanes => _workers.Count(w => w.IsFull);

    /// <inheritdoc/>
    public async Task PostAsync(string postKey, string topic, string resource, string text, CancellationToken cancellationToken)
    {
        NoticeContent content = Content(resource, topic, NoticeKinds.News, text, "");
        await _shared.Outbox.PostNoticesAsync(
            [.. _workers.Where(w => w.Route.Topics.Contains(topic)).Select(w => new NewNotice(w.Lane, $"news-{topic}-{postKey}", content, content.At, IsHeld: false))],
            cancellationToken).ConfigureAwait(false);
    }

    /// <inheritdoc/>
    public async Task<ImmutableArray<NoticeLane>> TryOutAsync(string? role, string? channel, string who, CancellationToken cancellationToken)
    {
        NoticeLane[] lanes = [.. _workers.Select(w => w.Lane).Where(l => (role is null || l.Role == role) && (channel is null || l.Channel == channel))];
        NoticeContent content = Content("site", "trial", NoticeKinds.Trial, "Somebody tries whether notices arrive here. They do.", who);
        await _shared.Outbox.PostNoticesAsync(
            [.. lanes.Select(l => new NewNotice(l, FormattableString.Invariant($"trial-{content.At.UtcTicks}"), content, content.At, IsHeld: false))],
            cancellationToken).ConfigureAwait(false);
        return [.. lanes];
    }

    /// <inheritdoc/>
    public Task<IReadOnlyList<Notice>> ReadAsync(NoticeState? state, long? below, int max, CancellationToken cancellationToken) =>
        _shared.Outbox.ReadNoticesAsync(state, below, max, cancellationToken);

    /// <inheritdoc/>
    public Task<bool> ReviveAsync(long id, CancellationToken cancellationToken) => _shared.Outbox.ReviveAsync(id, _shared.Time.GetUtcNow(), cancellationToken);

    /// <summary>Gives up what is too old, forgets what was sent long ago, counts.</summary>
    public async Task TidyAsync(CancellationToken cancellationToken)
    {
        DateTimeOffset now = _shared.Time.GetUtcNow();
        NoticeOptions options = _shared.Options;
        NoticesTidied done = await _shared.Outbox.TidyNoticesAsync(
            new NoticeTidying(now - options.GiveUpAfter, now - options.KeepSent, options.DeadMax, FormattableString.Invariant($"Not sent within {options.GiveUpAfter.TotalHours:0} h.")),
            cancellationToken).ConfigureAwait(false);
        if (done.GivenUp > 0)
        {
            LogTooOld(done.GivenUp, options.GiveUpAfter.TotalHours);
        }

        IReadOnlyList<NoticeCount> counts = await _shared.Outbox.CountNoticesAsync(cancellationToken).ConfigureAwait(false);
        foreach (NoticeLaneWorker worker in _workers)
        {
            worker.Show(Count(worker.Lane, NoticeState.Waiting), Count(worker.Lane, NoticeState.Dead));
        }

        _leftOver =
        [
            .. counts.Select(c => c.Lane).Distinct().Except(_workers.Select(w => w.Lane))
                .Select(l => new LaneView(l, Count(l, NoticeState.Waiting), Count(l, NoticeState.Dead), null, "", null, null, IsInSettings: false)),
        ];

        int Count(NoticeLane lane, NoticeState state) => counts.FirstOrDefault(c => c.Lane == lane && c.State == state)?.Count ?? 0;
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (_workers.IsEmpty)
        {
            return;
        }

        await _gate.WaitReadyAsync(stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        await Task.WhenAll(
            [
                RepeatAsync(
                    async stop =>
                    {
                        await TidyAsync(stop).ConfigureAwait(false);
                        return false;
                    },
                    TidyPeriod,
                    stoppingToken),
                .. _workers.Select(worker => RepeatAsync(worker.StepAsync, Beat, stoppingToken)),
            ]).ConfigureAwait(false);
    }

    private async Task RepeatAsync(Func<CancellationToken, Task<bool>> step, TimeSpan pause, CancellationToken stoppingToken)
    {
        while (!stoppingToken.IsCancellationRequested)
        {
            TimeSpan wait = pause;
            try
            {
                wait = await step(stoppingToken).ConfigureAwait(false) ? TimeSpan.Zero : pause;
                Volatile.Write(ref _problem, "");
            }
            catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
            {
                return;
            }
            catch (Exception away)
            {
                // Whatever it was, the loop of a lane must not end: the notices are kept and are tried again.
                if (Problem.Length == 0)
                {
                    LogOutboxAway(away.Message);
                }

                Volatile.Write(ref _problem, $"Notices wait, the outbox cannot be read or written: {away.Message}");
                wait = StoreRetry;
            }

            await Task.Delay(wait, _shared.Time, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private NoticeContent Content(string resource, string type, string kind, string text, string who) =>
        new(resource, type, kind, Domain.Alarms.AlarmSeverity.Unknown, _shared.Time.GetUtcNow(), null, "", "", text, "", who);

    [LoggerMessage(3211, LogLevel.Error, "The outbox of notices cannot be read or written, notices wait: {Reason}")]
    private partial void LogOutboxAway(string reason);

    [LoggerMessage(3212, LogLevel.Error, "{Count} notices could not be sent within {Hours} h and are given up.")]
    private partial void LogTooOld(int count, double hours);
}
