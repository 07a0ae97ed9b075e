using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <summary>Stored time as timestamptz, which has the same microseconds as <see cref="StoreTime"/>.</summary>
internal static class PostgresTime
{
    // Npgsql takes the calendar's first and last moment for -infinity and infinity, which order as a range wants them.
    internal static DateTime Of(DateTimeOffset time) => time == DateTimeOffset.MaxValue
        ? DateTime.MaxValue
        : StoreTime.FromMicroseconds(StoreTime.ToMicroseconds(time)).UtcDateTime;
}
