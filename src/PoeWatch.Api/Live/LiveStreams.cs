using System.Net.ServerSentEvents;
using System.Runtime.CompilerServices;
using PoeWatch.Api.Contracts;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Live;

/// <summary>One event of the live stream.</summary>
/// <param name="ViewVersion">The picture that the client is at after it.</param>
/// <param name="Poles">Poles that changed, whole. Empty in resync and heartbeat.</param>
/// <param name="Alarms">Alarms that changed, whole.</param>
/// <param name="GoneAlarmIds">Alarms that are no longer listed.</param>
/// <param name="HealthStatus">good, degraded or bad.</param>
public sealed record LiveEvent(
    long ViewVersion,
    DateTimeOffset At,
    IReadOnlyList<PoleContract> Poles,
    IReadOnlyList<AlarmContract> Alarms,
    IReadOnlyList<string> GoneAlarmIds,
    string HealthStatus);

/// <summary>
/// The live stream: <c>changes</c> with what is new, <c>resync</c> where the client has to read the lists again (first of all, and after a gap
/// too long to tell), <c>heartbeat</c> when nothing happens. Bounded in number and in speed; a stream keeps nothing but its place. Thread safe.
/// </summary>
internal sealed class LiveStreams(ISiteView site, IServiceHealth health, ChangeLog log, ApiOptions options, TimeProvider time)
{
    private int _count;

    /// <summary>Streams served now.</summary>
    public int Count => Volatile.Read(ref _count);

    /// <summary>Takes one of the places; false where all are taken. Give it back with <see cref="Leave"/>.</summary>
    public bool TryEnter()
    {
        if (Interlocked.Increment(ref _count) <= options.LiveStreamsMax)
        {
            return true;
        }

        Leave();
        return false;
    }

    public void Leave() => Interlocked.Decrement(ref _count);

    public async IAsyncEnumerable<SseItem<LiveEvent>> FollowAsync(string? lastEventId, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var mark = health.Current.StartedAt.UtcTicks;
        var seen = LiveEventId.TryParse(lastEventId, out var last) && last.ProcessMark == mark ? last.Version : -1;
        var view = site.Current;
        var isFirst = true;
        while (!cancellationToken.IsCancellationRequested)
        {
            var changes = log.Since(seen, view);
            if (isFirst || view.Version > seen)
            {
                seen = view.Version;
                isFirst = false;
                yield return new SseItem<LiveEvent>(
                    new LiveEvent(view.Version, view.Assessment.At, changes.Poles, changes.Alarms, changes.GoneAlarmIds, HealthStatus()),
                    changes.IsResync ? "resync" : "changes")
                {
                    EventId = new LiveEventId(mark, seen).ToString(),
                    ReconnectionInterval = TimeSpan.FromSeconds(2),
                };
            }

            await Task.Delay(options.LiveInterval, time, cancellationToken);
            SiteView? newer = null;
            while (newer is null)
            {
                newer = await NewerAsync(seen, cancellationToken);
                if (newer is null)
                {
                    yield return new SseItem<LiveEvent>(new LiveEvent(seen, time.GetUtcNow(), [], [], [], HealthStatus()), "heartbeat");
                }
            }

            view = newer;
        }
    }

    private string HealthStatus() => HealthContract.Worst(health.Current);

    /// <summary>Null where nothing new came within the heartbeat interval.</summary>
    private async Task<SiteView?> NewerAsync(long version, CancellationToken cancellationToken)
    {
        using var heartbeat = new CancellationTokenSource(options.HeartbeatInterval, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(heartbeat.Token, cancellationToken);
        try
        {
            return await site.WaitForNewerAsync(version, either.Token);
        }
        catch (OperationCanceledException) when (heartbeat.IsCancellationRequested && !cancellationToken.IsCancellationRequested)
        {
            return null;
        }
    }
}
