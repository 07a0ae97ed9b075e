using Microsoft.Extensions.Logging;

namespace PoeWatch.Monitoring.Service;

/// <summary>
/// Notices when the system clock is stepped against the monotonic clock. Polls and delays run on the monotonic clock and do not care;
/// the times in the history do, so people are told. Called by the site monitor's loop alone.
/// </summary>
public sealed partial class ClockWatch
{
    /// <summary>Smaller differences are slewing and scheduling, not a step (NTP steps above 128 ms, and a paused machine takes longer).</summary>
    public static readonly TimeSpan StepMin = TimeSpan.FromSeconds(2);

    private readonly TimeProvider _time;
    private readonly ILogger<ClockWatch> _log;
    private DateTimeOffset _wall;
    private long _monotonic;
    private string _lastStep = string.Empty;

    public ClockWatch(TimeProvider time, ILogger<ClockWatch> log)
    {
        (_time, _log) = (time, log);
        (_wall, _monotonic) = (time.GetUtcNow(), time.GetTimestamp());
    }

    /// <summary>What the last step was, for people; empty where none was seen.</summary>
    public string LastStep => Volatile.Read(ref _lastStep);

    /// <summary>Compares both clocks; returns the step where there was one since the last call.</summary>
    public TimeSpan? Check()
    {
        DateTimeOffset wall = _time.GetUtcNow();
        long monotonic = _time.GetTimestamp();
        TimeSpan step = (wall - _wall) - _time.GetElapsedTime(_monotonic, monotonic);
        (_wall, _monotonic) = (wall, monotonic);
        if (step.Duration() < StepMin)
        {
            return null;
        }

        Volatile.Write(ref _lastStep, FormattableString.Invariant($"stepped by {step.TotalSeconds:0.0} s at {wall:yyyy-MM-ddTHH:mm:ssZ}"));
        LogStepped(step.TotalSeconds);
        return step;
    }

    [LoggerMessage(6001, LogLevel.Warning, "The system clock was stepped by {StepSeconds} s. Polls go on; times in the history jump by as much. Check NTP on this machine.")]
    private partial void LogStepped(double stepSeconds);
}
