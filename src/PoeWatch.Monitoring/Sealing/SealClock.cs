namespace PoeWatch.Monitoring.Sealing;

/// <summary>
/// Up to when quarter-hours may be sealed: a seal cannot be taken back, so a system clock that was set far ahead by mistake must not seal hours to come as
/// silent. A step forward counts only once the clock has stood by it for a while; until then time goes on from where it was, by the monotonic clock. A step back
/// counts at once: it only makes sealing wait. Not thread safe.
/// </summary>
public sealed class SealClock(TimeProvider time)
{
    /// <summary>Smaller steps forward are believed at once: slewing, scheduling, a paused machine.</summary>
    public static readonly TimeSpan StepMin = TimeSpan.FromMinutes(1);

    /// <summary>Longer time away is a step too: whether a machine slept for a day or its clock is a day ahead looks the same.</summary>
    public static readonly TimeSpan AwayMin = TimeSpan.FromHours(1);

    /// <summary>How long the clock has to stand by a step. NTP corrects a wrong start within minutes: common practice, no source.</summary>
    public static readonly TimeSpan Confirmation = TimeSpan.FromMinutes(15);

    private readonly long _begin = time.GetTimestamp();
    private DateTimeOffset? _origin;
    private (DateTimeOffset Origin, TimeSpan Since)? _step;

    /// <summary>How far the clock is ahead of what is believed; zero where it is believed.</summary>
    public TimeSpan Ahead => _step is { } step ? step.Origin - _origin!.Value : TimeSpan.Zero;

    /// <summary>Says up to when sealing had come before the start.</summary>
    public void Begin(DateTimeOffset sealedUntil)
    {
        var elapsed = time.GetElapsedTime(_begin);
        var now = time.GetUtcNow();
        if (now - sealedUntil > AwayMin)
        {
            (_origin, _step) = (sealedUntil - elapsed, (now - elapsed, elapsed));
        }
    }

    /// <summary>The time that may be sealed up to.</summary>
    public DateTimeOffset Read()
    {
        // Where the clock would have stood when this began, were it right now: it moves with steps alone.
        var elapsed = time.GetElapsedTime(_begin);
        var origin = time.GetUtcNow() - elapsed;
        if (_origin is not { } believed || origin - believed <= StepMin)
        {
            (_origin, _step) = (origin, null);
        }
        else if (_step is not { } step || (origin - step.Origin).Duration() > StepMin)
        {
            _step = (origin, elapsed);
        }
        else if (elapsed - step.Since >= Confirmation)
        {
            (_origin, _step) = (origin, null);
        }

        return _origin.Value + elapsed;
    }
}
