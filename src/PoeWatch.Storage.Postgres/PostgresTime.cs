using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <summary>Stored time as timestamptz, which has the same microseconds as <see cref="StoreTime"/>.</summary>
internal static class PostgresTime
{
    private static readonly long Last = StoreTime.ToMicroseconds(DateTimeOffset.MaxValue);
    private static readonly long First = StoreTime.ToMicroseconds(DateTimeOffset.MinValue);

    internal static DateTime Of(DateTimeOffset time) => Of(StoreTime.ToMicroseconds(time));

    // Npgsql takes the calendar's first and last moment for -infinity and infinity, which order as a range wants them.
    internal static DateTime Of(long microseconds) =>
        microseconds >= Last ? DateTime.MaxValue : StoreTime.FromMicroseconds(Math.Max(First, microseconds)).UtcDateTime;
}
