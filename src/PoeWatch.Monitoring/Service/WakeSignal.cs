using System.Threading.Tasks.Sources;

namespace PoeWatch.Monitoring.Service;

/// <summary>
/// Wakes one loop from anywhere: however often it is set before the loop looks, the loop wakes once. One waiter, any number of setters. Waits cost
/// nothing: a loop of polling is woken a hundred times a second.
/// </summary>
internal sealed class WakeSignal : IValueTaskSource
{
    private readonly Lock _gate = new();
    private readonly ITimer _timer;
    private ManualResetValueTaskSourceCore<bool> _wait = new() { RunContinuationsAsynchronously = true };
    private CancellationTokenRegistration _stop;
    private bool _isSet;
    private bool _isWaiting;

    public WakeSignal(TimeProvider time) =>
        _timer = time.CreateTimer(static signal => ((WakeSignal)signal!).EndWait(), this, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);

    /// <summary>Wakes the loop, now or when it next waits. Never blocks.</summary>
    public void Set()
    {
        lock (_gate)
        {
            _isSet = !_isWaiting;
            EndWait();
        }
    }

    /// <summary>
    /// Returns when set, when the time is over or on stopping; the caller's loop looks which. It may return a little early once, where an earlier wait's
    /// time is over just then. Await it once, before the next.
    /// </summary>
    public ValueTask WaitAsync(TimeSpan atMost, CancellationToken stoppingToken)
    {
        if (_stop.Token != stoppingToken)
        {
            _stop.Dispose();
            _stop = stoppingToken.UnsafeRegister(static signal => ((WakeSignal)signal!).Set(), this);
        }

        lock (_gate)
        {
            if (_isSet || stoppingToken.IsCancellationRequested)
            {
                _isSet = false;
                return ValueTask.CompletedTask;
            }

            _wait.Reset();
            _isWaiting = true;
            _timer.Change(atMost, Timeout.InfiniteTimeSpan);
            return new ValueTask(this, _wait.Version);
        }
    }

    void IValueTaskSource.GetResult(short token) => _wait.GetResult(token);

    ValueTaskSourceStatus IValueTaskSource.GetStatus(short token) => _wait.GetStatus(token);

    void IValueTaskSource.OnCompleted(Action<object?> continuation, object? state, short token, ValueTaskSourceOnCompletedFlags flags) =>
        _wait.OnCompleted(continuation, state, token, flags);

    private void EndWait()
    {
        lock (_gate)
        {
            if (_isWaiting)
            {
                _isWaiting = false;
                _wait.SetResult(true);
            }
        }
    }
}
