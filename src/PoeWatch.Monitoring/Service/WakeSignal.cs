namespace PoeWatch.Monitoring.Service;

/// <summary>
/// Wakes one loop from anywhere: however often it is set before the loop looks, the loop wakes once. One waiter, any number of setters.
/// </summary>
internal sealed class WakeSignal(TimeProvider time)
{
    private readonly SemaphoreSlim _signal = new(0, 1);

    // One and the same wait is kept until it is over. A wait that is called off instead leaves its place in the semaphore's queue only
    // later, on some other thread, and swallows the signal that comes meanwhile: the loop would sleep on although it was woken.
    private Task? _waiting;

    /// <summary>Wakes the loop, now or when it next waits. Never blocks.</summary>
    public void Set()
    {
        // Asked first, because a full semaphore throws and a busy loop is set many times a second.
        if (_signal.CurrentCount > 0)
        {
            return;
        }

        try
        {
            _signal.Release();
        }
        catch (SemaphoreFullException)
        {
            // Somebody else was first: one wake-up is enough.
        }
    }

    /// <summary>Returns when set, when the time is over or on stopping; the caller's loop looks which.</summary>
    public async Task WaitAsync(TimeSpan atMost, CancellationToken stoppingToken)
    {
        Task waiting = _waiting ??= _signal.WaitAsync(stoppingToken);
        using var timer = CancellationTokenSource.CreateLinkedTokenSource(stoppingToken);
        await Task.WhenAny(waiting, Task.Delay(atMost, time, timer.Token)).ConfigureAwait(false);
        await timer.CancelAsync().ConfigureAwait(false);
        if (waiting.IsCompleted)
        {
            _waiting = null;
        }
    }
}
