using System.Diagnostics;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Service;
using PoeWatch.Monitoring.Telemetry;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>
/// Writes finished polls to the store in batches and knows up to where they are kept. Where the store is away it waits and holds them
/// within a stated bound. On stopping it writes what it holds, for a bounded time. Thread safe.
/// </summary>
public sealed partial class ReadingKeeper : BackgroundService
{
    private static readonly TimeSpan RetryFirst = TimeSpan.FromMilliseconds(500);
    private static readonly TimeSpan RetryMax = TimeSpan.FromSeconds(15);
    private static readonly TimeSpan StopTime = TimeSpan.FromSeconds(5);

    private readonly ReadingQueue _queue;
    private readonly KeeperOptions _options;
    private readonly IHistoryStore _store;
    private readonly IAgentChangeStore _changes;
    private readonly StoreGate _gate;
    private readonly StorageMetrics _metrics;
    private readonly TimeProvider _time;
    private readonly ILogger<ReadingKeeper> _log;
    private readonly WakeSignal _wake;
    private long _keptSequence;
    private string _problem = string.Empty;
    private bool _isDropping;

    public ReadingKeeper(
        IHistoryStore store,
        IAgentChangeStore changes,
        StoreGate gate,
        StorageMetrics metrics,
        IOptions<KeeperOptions> options,
        TimeProvider time,
        ILogger<ReadingKeeper> log)
    {
        (_store, _changes, _gate, _metrics, _options, _time, _log) = (store, changes, gate, metrics, options.Value, time, log);
        _wake = new WakeSignal(time);
        _queue = new ReadingQueue(_options.WaitingMax);
        metrics.Observe(() => _queue.Count, () => _queue.Dropped);
    }

    /// <summary>Raised on the writer's own thread after each batch that was kept.</summary>
    public event Action? Kept;

    /// <summary>Every reading up to this sequence is kept, save those that <see cref="Add"/> gave back as dropped.</summary>
    public long KeptSequence => Volatile.Read(ref _keptSequence);

    public int WaitingReadings => _queue.Count;

    public int WaitingMax => _queue.Max;

    public long Dropped => _queue.Dropped;

    /// <summary>Why nothing can be written now; empty where it can.</summary>
    public string Problem => Volatile.Read(ref _problem);

    /// <summary>Takes a finished poll; gives an older one that was dropped for it, if any: that one will never be kept. Never blocks.</summary>
    public SwitchReading? Add(SwitchReading reading)
    {
        SwitchReading? dropped = _queue.Add(reading);
        if (dropped is not null && !_isDropping)
        {
            _isDropping = true;
            LogDropping(_queue.Max);
        }

        _wake.Set();
        return dropped;
    }

    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        await base.StopAsync(cancellationToken).ConfigureAwait(false);
        using var limit = new CancellationTokenSource(StopTime, _time);
        try
        {
            while (_gate.IsReady && _queue.Count > 0 && await TryWriteAsync(limit.Token).ConfigureAwait(false))
            {
            }
        }
        catch (OperationCanceledException)
        {
            // The bound of stopping is reached: what is left is said below.
        }

        if (_queue.Count > 0)
        {
            LogUnkept(_queue.Count);
        }
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            await _gate.WaitReadyAsync(stoppingToken).ConfigureAwait(false);
            TimeSpan retry = RetryFirst;
            while (!stoppingToken.IsCancellationRequested)
            {
                if (_queue.Count == 0)
                {
                    await _wake.WaitAsync(RetryMax, stoppingToken).ConfigureAwait(false);
                }

                await Task.Delay(_options.GatherTime, _time, stoppingToken).ConfigureAwait(false);
                if (await TryWriteAsync(stoppingToken).ConfigureAwait(false))
                {
                    retry = RetryFirst;
                    continue;
                }

                await Task.Delay(retry, _time, stoppingToken).ConfigureAwait(false);
                retry = retry * 2 < RetryMax ? retry * 2 : RetryMax;
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping; StopAsync writes the rest.
        }
    }

    private async Task<bool> TryWriteAsync(CancellationToken cancellationToken)
    {
        IReadOnlyList<SwitchReading> batch = _queue.Peek(_options.BatchMax);
        if (batch.Count == 0)
        {
            return true;
        }

        long began = _time.GetTimestamp();
        try
        {
            using Activity? activity = StorageMetrics.Activities.StartActivity("keep readings");
            activity?.SetTag("poewatch.batch", batch.Count);

            // First, so that a batch that is repeated after a failure loses none; both writes may be repeated.
            AgentChangeNote[] changes = [.. batch.Where(reading => !reading.Changes.IsEmpty).SelectMany(AgentChangeNote.Of)];
            if (changes.Length > 0)
            {
                await _changes.SaveAgentChangesAsync(changes, cancellationToken).ConfigureAwait(false);
            }

            await _store.AppendAsync(batch, cancellationToken).ConfigureAwait(false);
        }
        catch (StoreException failed)
        {
            if (Problem.Length == 0)
            {
                LogStoreAway(failed.Message, _queue.Max);
            }

            Volatile.Write(ref _problem, failed.Message);
            return false;
        }

        _metrics.Written(batch.Count, batch.Sum(r => r.Ports.Length), _time.GetElapsedTime(began));
        _queue.Remove(batch[^1].Sequence);
        Volatile.Write(ref _keptSequence, Math.Max(KeptSequence, batch[^1].Sequence));
        if (Problem.Length > 0)
        {
            LogStoreBack(_queue.Count, _queue.Dropped);
            Volatile.Write(ref _problem, string.Empty);
            _isDropping = false;
        }

        Kept?.Invoke();
        return true;
    }

    [LoggerMessage(2101, LogLevel.Error, "The history store cannot be written: {Reason} Readings are held in memory, {Max} polls at most, and written when it is back.")]
    private partial void LogStoreAway(string reason, int max);

    [LoggerMessage(2102, LogLevel.Information, "The history store is back; {Waiting} polls still wait, {Dropped} were dropped since the start.")]
    private partial void LogStoreBack(int waiting, long dropped);

    [LoggerMessage(2103, LogLevel.Error, "More than {Max} polls wait for the history store: the oldest are being dropped.")]
    private partial void LogDropping(int max);

    [LoggerMessage(2104, LogLevel.Error, "Stopped with {Count} polls that the history store did not take: they are lost.")]
    private partial void LogUnkept(int count);
}
