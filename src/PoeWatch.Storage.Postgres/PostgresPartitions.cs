using System.Globalization;

namespace PoeWatch.Storage.Postgres;

/// <summary>The months that blocks lie in. Pure.</summary>
internal static class PostgresPartitions
{
    internal const string Table = "block";

    internal static DateTime MonthOf(DateTime time) => new(time.Year, time.Month, 1, 0, 0, 0, DateTimeKind.Utc);

    /// <summary>The statement that makes a month's partition where it is not there.</summary>
    /// <remarks>Rows of up to a page stay whole: the target is what a row may have before its payload is moved out.</remarks>
    internal static string Create(DateTime month) => string.Create(
        CultureInfo.InvariantCulture,
        $"""
        CREATE TABLE IF NOT EXISTS block_{month:yyyy_MM} PARTITION OF {Table}
        FOR VALUES FROM ('{month:yyyy-MM-dd} 00:00:00+00') TO ('{month.AddMonths(1):yyyy-MM-dd} 00:00:00+00') WITH (toast_tuple_target = 8160)
        """);

    /// <summary>The month of a partition; null where a table is none of ours.</summary>
    internal static DateTime? MonthOf(string name) => DateTime.TryParseExact(
        name, "'block_'yyyy'_'MM", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var month)
        ? month
        : null;
}
