using System.Diagnostics;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.Monitoring.Service;
using PoeWatch.Monitoring.Telemetry;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>
/// Writes finished polls to the store in batches and knows up to where they are kept. Where the store is away or slow they are kept in a spool on the
/// local disk and go to the store from there, in order, before newer ones. What neither takes waits in memory within a stated bound. On stopping it keeps
/// what it holds, for a bounded time. Thread safe.
/// </summary>
/// <remarks>A poll may reach the store twice (its answer was lost, or the service ended in between): the store keeps it once, by element and microsecond.</remarks>
public sealed partial class ReadingKeeper : BackgroundService
{
    private static readonly TimeSpan RetryFirst = TimeSpan.FromMilliseconds(500);
    private static readonly TimeSpan RetryMax = TimeSpan.FromSeconds(15);
    private static readonly TimeSpan StopTime = TimeSpan.FromSeconds(5);

    // Gathered for 1.5 s at most, so half a second of a slow store still leaves the spool its turn within the 2 s of a kept reading.
    private static readonly TimeSpan SlowAfter = TimeSpan.FromMilliseconds(400);

    private readonly ReadingQueue _queue;
    private readonly ReadingSpool _spool;
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
    private Task? _underWay;
    private SpooledBatch? _replayed;
    private TimeSpan _retry = RetryFirst;
    private long _failedAt;

    public ReadingKeeper(
        IHistoryStore store,
        IAgentChangeStore changes,
        ReadingSpool spool,
        StoreGate gate,
        StorageMetrics metrics,
        IOptions<KeeperOptions> options,
        TimeProvider time,
        ILogger<ReadingKeeper> log)
    {
        (_store, _changes, _spool, _gate, _metrics, _options, _time, _log) = (store, changes, spool, gate, metrics, options.Value, time, log);
        _wake = new WakeSignal(time);
        _queue = new ReadingQueue(_options.WaitingMax);
        metrics.Observe(() => _queue.Count, () => _queue.Dropped);
        metrics.ObserveSpool(() => spool.Polls, () => spool.Bytes, () => spool.Damaged);
    }

    /// <summary>Raised on the writer's own thread after each batch that was kept.</summary>
    public event Action? Kept;

    /// <summary>Every reading up to this sequence is kept, save those that <see cref="Add"/> gave back as dropped.</summary>
    public long KeptSequence => Volatile.Read(ref _keptSequence);

    public int WaitingReadings => _queue.Count;

    public int WaitingMax => _queue.Max;

    public long Dropped => _queue.Dropped;

    /// <summary>Why the store cannot be written now; empty where it can.</summary>
    public string Problem => Volatile.Read(ref _problem);

    /// <summary>What is kept on this disk and not yet in the store.</summary>
    public ReadingSpool Spooled => _spool;

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
            if (_underWay is { } underWay)
            {
                await underWay.WaitAsync(limit.Token).ConfigureAwait(false);
            }

            while (_queue.Count > 0 && (await WriteAsync(limit.Token).ConfigureAwait(false) || Spool()))
            {
            }
        }
        catch (Exception e) when (e is StoreException or OperationCanceledException)
        {
            // The store fails, or the bound of stopping is reached: the disk is still there.
            while (_queue.Count > 0 && Spool())
            {
            }
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
            await Task.Run(_spool.TryOpen, stoppingToken).ConfigureAwait(false);
            while (!stoppingToken.IsCancellationRequested)
            {
                if (_queue.Count == 0 && (_spool.Polls == 0 || !IsDue))
                {
                    await _wake.WaitAsync(_spool.Polls == 0 ? RetryMax : RetryFirst, stoppingToken).ConfigureAwait(false);
                }

                await Task.Delay(_options.GatherTime, _time, stoppingToken).ConfigureAwait(false);
                if (!await WriteAsync(stoppingToken).ConfigureAwait(false))
                {
                    Spool();
                }

                while (await ReplayAsync(stoppingToken).ConfigureAwait(false) && _queue.Count < _options.BatchMax)
                {
                }
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping; StopAsync keeps the rest.
        }
    }

    private bool IsDue => _gate.IsReady && (_failedAt == 0 || _time.GetElapsedTime(_failedAt) >= _retry);

    /// <summary>Writes the oldest polls straight to the store, where nothing older waits in the spool.</summary>
    internal async Task<bool> WriteAsync(CancellationToken cancellationToken)
    {
        IReadOnlyList<SwitchReading> batch = _queue.Peek(_options.BatchMax);
        if (batch.Count == 0)
        {
            return true;
        }

        if (_spool.Polls > 0 || !IsDue || !await TryAppendAsync(batch, cancellationToken).ConfigureAwait(false))
        {
            return false;
        }

        Keep(batch);
        return true;
    }

    /// <summary>Keeps the oldest polls in the spool: synced there they are kept, whatever becomes of the store.</summary>
    private bool Spool()
    {
        IReadOnlyList<SwitchReading> batch = _queue.Peek(_options.BatchMax);
        if (batch.Count == 0 || !_spool.TryAdd(batch))
        {
            return false;
        }

        Keep(batch);
        return true;
    }

    /// <summary>Brings the oldest polls of the spool to the store; true where that worked and it is worth going on at once.</summary>
    private async Task<bool> ReplayAsync(CancellationToken cancellationToken)
    {
        if (_underWay is { IsCompleted: false } || !IsDue || _spool.Peek(_options.BatchMax) is not { } batch)
        {
            return false;
        }

        _replayed = batch;
        return batch.Readings.Count == 0 || await TryAppendAsync(batch.Readings, cancellationToken).ConfigureAwait(false) ? Replayed() : false;
    }

    private bool Replayed()
    {
        if (_replayed is { } batch)
        {
            _replayed = null;
            _spool.Remove(batch);
            if (_spool.Polls == 0)
            {
                LogSpoolEmpty();
            }
        }

        return true;
    }

    // A write that takes too long goes on alone: what it holds is spooled meanwhile, and no other begins before it is over.
    private async Task<bool> TryAppendAsync(IReadOnlyList<SwitchReading> batch, CancellationToken cancellationToken)
    {
        if (_underWay is { IsCompleted: false })
        {
            return false;
        }

        _underWay = AppendAsync(batch, cancellationToken);
        await Task.WhenAny(_underWay, Task.Delay(SlowAfter, _time, cancellationToken)).ConfigureAwait(false);
        if (!_underWay.IsCompleted)
        {
            LogSlow(SlowAfter.TotalSeconds);
            _replayed = null;
            return false;
        }

        try
        {
            await _underWay.ConfigureAwait(false);
        }
        catch (StoreException failed)
        {
            Failed(failed);
            return false;
        }
        finally
        {
            _underWay = null;
        }

        Back();
        return true;
    }

    private async Task AppendAsync(IReadOnlyList<SwitchReading> batch, CancellationToken cancellationToken)
    {
        long began = _time.GetTimestamp();
        using Activity? activity = StorageMetrics.Activities.StartActivity("keep readings");
        activity?.SetTag("poewatch.batch", batch.Count);

        // First, so that a batch that is repeated after a failure loses none; both writes may be repeated.
        AgentChangeNote[] changes = [.. batch.Where(reading => !reading.Changes.IsEmpty).SelectMany(AgentChangeNote.Of)];
        if (changes.Length > 0)
        {
            await _changes.SaveAgentChangesAsync(changes, cancellationToken).ConfigureAwait(false);
        }

        await _store.AppendAsync(batch, cancellationToken).ConfigureAwait(false);
        _metrics.Wrote(_time.GetElapsedTime(began));
    }

    private void Keep(IReadOnlyList<SwitchReading> batch)
    {
        _metrics.Kept(batch.Count, batch.Sum(r => r.Ports.Length));
        _queue.Remove(batch[^1].Sequence);
        Volatile.Write(ref _keptSequence, Math.Max(KeptSequence, batch[^1].Sequence));
        _isDropping = false;
        Kept?.Invoke();
    }

    private void Failed(StoreException failed)
    {
        if (Problem.Length == 0)
        {
            LogStoreAway(failed.Message, _spool.BytesMax >> 20);
        }
        else if (_failedAt > 0)
        {
            _retry = _retry * 2 < RetryMax ? _retry * 2 : RetryMax;
        }

        _replayed = null;
        _failedAt = _time.GetTimestamp();
        Volatile.Write(ref _problem, failed.Message);
    }

    private void Back()
    {
        (_retry, _failedAt) = (RetryFirst, 0);
        if (Problem.Length > 0)
        {
            LogStoreBack(_spool.Polls, _queue.Dropped);
            Volatile.Write(ref _problem, string.Empty);
        }
    }

    [LoggerMessage(2101, LogLevel.Error, "The history store cannot be written: {Reason} Readings are kept in the spool on this disk, {MaxMiB} MiB at most, and go to the store when it is back.")]
    private partial void LogStoreAway(string reason, long maxMiB);

    [LoggerMessage(2102, LogLevel.Information, "The history store is back; {Spooled} polls in the spool go to it first, {Dropped} were dropped since the start.")]
    private partial void LogStoreBack(long spooled, long dropped);

    [LoggerMessage(2103, LogLevel.Error, "More than {Max} polls wait that neither store nor spool takes: the oldest are being dropped.")]
    private partial void LogDropping(int max);

    [LoggerMessage(2104, LogLevel.Error, "Stopped with {Count} polls that neither store nor spool took: they are lost.")]
    private partial void LogUnkept(int count);

    [LoggerMessage(2105, LogLevel.Warning, "The history store takes longer than {Seconds} s for a write: readings are kept in the spool meanwhile.")]
    private partial void LogSlow(double seconds);

    [LoggerMessage(2106, LogLevel.Information, "All polls of the spool are in the history store.")]
    private partial void LogSpoolEmpty();
}
