namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>The quarter-hours of UTC that are sealed: [start, start + 15 min). Pure and thread safe.</summary>
public static class SealInterval
{
    /// <summary>Quarter-hours in a day of UTC.</summary>
    public const int PerDay = 96;

    private const long Microseconds = 15L * 60 * 1_000_000;

    public static TimeSpan Length { get; } = TimeSpan.FromMinutes(15);

    /// <summary>Whole microseconds since 1970-01-01 UTC, cut towards the past.</summary>
    public static long MicrosecondsOf(DateTimeOffset time)
    {
        var ticks = time.UtcTicks - DateTimeOffset.UnixEpoch.UtcTicks;
        return Math.DivRem(ticks, TimeSpan.TicksPerMicrosecond, out var rest) - (rest < 0 ? 1 : 0);
    }

    public static DateTimeOffset TimeOf(long microseconds) => DateTimeOffset.UnixEpoch.AddTicks(microseconds * TimeSpan.TicksPerMicrosecond);

    /// <summary>Begin of the quarter-hour that a moment lies in, both in microseconds.</summary>
    public static long StartOf(long microseconds)
    {
        var rest = microseconds % Microseconds;
        return microseconds - (rest < 0 ? rest + Microseconds : rest);
    }

    /// <summary>Begin of the quarter-hour that a moment lies in.</summary>
    public static DateTimeOffset StartOf(DateTimeOffset time) => TimeOf(StartOf(MicrosecondsOf(time)));
}
