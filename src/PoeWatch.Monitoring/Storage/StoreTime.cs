using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage;

/// <summary>The time that stores keep: UTC, whole microseconds since 1970-01-01, cut (never rounded) from .NET's 100 ns ticks. Pure and thread safe.</summary>
/// <remarks>A microsecond is PostgreSQL's resolution; SQLite keeps the same number, so that both stores order and find readings alike.</remarks>
public static class StoreTime
{
    private static readonly long MinMicroseconds = ToMicroseconds(DateTimeOffset.MinValue);
    private static readonly long MaxMicroseconds = ToMicroseconds(DateTimeOffset.MaxValue);

    /// <summary>Microseconds since the epoch, cut towards the past.</summary>
    public static long ToMicroseconds(DateTimeOffset time)
    {
        var ticks = time.UtcTicks - DateTimeOffset.UnixEpoch.UtcTicks;
        return Math.DivRem(ticks, TimeSpan.TicksPerMicrosecond, out var rest) - (rest < 0 ? 1 : 0);
    }

    /// <summary>What <see cref="ToMicroseconds"/> cut away: 0 to 9 ticks.</summary>
    public static int TicksWithin(DateTimeOffset time) => (int)(time.UtcTicks % TimeSpan.TicksPerMicrosecond);

    /// <summary>The stored time as a UTC time.</summary>
    /// <exception cref="StoreException">The number is no time of the calendar: the row is damaged.</exception>
    public static DateTimeOffset FromMicroseconds(long microseconds) =>
        microseconds >= MinMicroseconds && microseconds <= MaxMicroseconds
            ? DateTimeOffset.UnixEpoch.AddTicks(microseconds * TimeSpan.TicksPerMicrosecond)
            : throw new StoreException($"A stored time of {microseconds} microseconds is outside the calendar: the row is damaged. Restore the store from a backup.");
}
