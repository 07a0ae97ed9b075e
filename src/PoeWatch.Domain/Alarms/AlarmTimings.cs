using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Alarms;

/// <summary>How long and how far before an alarm comes and goes. The defaults are common practice, without a published source. Immutable.</summary>
public sealed record AlarmTimings
{
    /// <value>How long a condition must hold before it is raised. Default 30 s; 0 s or more.</value>
    public TimeSpan OnDelay { get; init; } = TimeSpan.FromSeconds(30);

    /// <value>How long a condition must be gone before it is cleared. Default 60 s; 0 s or more.</value>
    public TimeSpan OffDelay { get; init; } = TimeSpan.FromSeconds(60);

    /// <value>Deadband as a share of the floor. Default 2 %; 0 or more. The larger of this and <see cref="DeadbandWatts"/> counts.</value>
    public Ratio DeadbandShare { get; init; } = Ratio.FromPercent(2);

    /// <value>Deadband in the unit of the value, watts where it is power. Default 1; 0 or more.</value>
    public double DeadbandWatts { get; init; } = 1;

    /// <summary>The value that an active alarm clears at: its floor and the deadband on top.</summary>
    public double ClearsAt(double floor) => floor + Math.Max(Math.Abs(floor) * DeadbandShare.Fraction, DeadbandWatts);
}
