namespace PoeWatch.Domain.Alarms;

/// <summary>When a step of the book happens, by two clocks. Immutable; <c>default</c> is the year 1 at the start of the service.</summary>
/// <param name="At">UTC, for people and for ends that people set. It may be stepped.</param>
/// <param name="Running">How long the service has been running, by a clock that nobody sets: delays are measured with it.</param>
public readonly record struct AlarmMoment(DateTimeOffset At, TimeSpan Running)
{
    /// <summary>A moment where both clocks go alike.</summary>
    public static AlarmMoment Of(DateTimeOffset at) => new(at, at - DateTimeOffset.UnixEpoch);
}
