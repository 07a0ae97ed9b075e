using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Sealing;

/// <summary>
/// Knows up to where quarter-hours are being sealed and which writes are under way, so that no poll can slip in between reading a quarter-hour and
/// sealing it: a write that began before is waited for, one that begins later leaves a mark first. Thread safe.
/// </summary>
public sealed class LateWatch
{
    private readonly Lock _gate = new();
    private readonly HashSet<TaskCompletionSource> _writing = [];
    private DateTimeOffset? _closedUntil;

    /// <summary>False until somebody has said how far sealing had come before the start.</summary>
    public bool IsKnown
    {
        get
        {
            lock (_gate)
            {
                return _closedUntil is not null;
            }
        }
    }

    /// <summary>Says how far sealing has come; never goes back.</summary>
    public void Know(SealState state) => Close(state.LastStart is { } last ? last + SealInterval.Length : DateTimeOffset.MinValue);

    /// <summary>Closes everything before a moment and returns when the writes that began before are over.</summary>
    public Task CloseAsync(DateTimeOffset until, CancellationToken cancellationToken)
    {
        Close(until);
        return SettleAsync(cancellationToken);
    }

    /// <summary>Returns when all writes under way are over.</summary>
    public Task SettleAsync(CancellationToken cancellationToken)
    {
        lock (_gate)
        {
            return Task.WhenAll(_writing.Select(w => w.Task)).WaitAsync(cancellationToken);
        }
    }

    /// <summary>A write begins. Give it back with <see cref="End"/> whatever came of it.</summary>
    /// <param name="late">What has to be marked before anything is written.</param>
    public object Begin(IReadOnlyList<SwitchReading> readings, out IReadOnlyCollection<LateMark> late)
    {
        var write = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        lock (_gate)
        {
            late = readings.Where(r => r.At < _closedUntil).Select(r => new LateMark(r.PseId, SealInterval.StartOf(r.At))).ToHashSet();
            _writing.Add(write);
        }

        return write;
    }

    public void End(object write)
    {
        var done = (TaskCompletionSource)write;
        lock (_gate)
        {
            _writing.Remove(done);
        }

        done.SetResult();
    }

    private void Close(DateTimeOffset until)
    {
        lock (_gate)
        {
            _closedUntil = _closedUntil > until ? _closedUntil : until;
        }
    }
}
