using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>Maintenance windows.</content>
public sealed partial class SqliteStore
{
    /// <inheritdoc/>
    public async Task SaveWindowAsync(MaintenanceWindow window, CancellationToken cancellationToken) =>
        await WriteAsync(
            (connection, _) =>
            {
                using var command = connection.Command(
                    """
                    INSERT INTO maintenance_window (id, scope, from_at_us, to_at_us, who, reason, added_at_us, ended_at_us, ended_by)
                    VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
                    ON CONFLICT (id) DO UPDATE SET ended_at_us = excluded.ended_at_us, ended_by = excluded.ended_by
                    """,
                    window.Id,
                    window.Scope,
                    StoreTime.ToMicroseconds(window.From),
                    StoreTime.ToMicroseconds(window.To),
                    StoreText.Clean(window.Who),
                    StoreText.Clean(window.Reason),
                    StoreTime.ToMicroseconds(window.AddedAt),
                    window.EndedAt is { } ended ? StoreTime.ToMicroseconds(ended) : null,
                    StoreText.Clean(window.EndedBy));
                return command.ExecuteNonQuery();
            },
            cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<MaintenanceWindow>> ReadWindowsAsync(DateTimeOffset endingFrom, CancellationToken cancellationToken) =>
        await ReadAsync(
            connection =>
            {
                using var command = connection.Command(
                    "SELECT id, scope, from_at_us, to_at_us, who, reason, added_at_us, ended_at_us, ended_by FROM maintenance_window WHERE to_at_us >= $1 ORDER BY from_at_us, id",
                    StoreTime.ToMicroseconds(endingFrom));
                return command.Rows(ReadWindow, cancellationToken);
            },
            cancellationToken);

    private static MaintenanceWindow ReadWindow(SqliteDataReader reader) => new(
        reader.GetString(0),
        reader.GetString(1),
        StoreTime.FromMicroseconds(reader.GetInt64(2)),
        StoreTime.FromMicroseconds(reader.GetInt64(3)),
        reader.GetString(4),
        reader.GetString(5),
        StoreTime.FromMicroseconds(reader.GetInt64(6)))
    {
        EndedAt = reader.IsDBNull(7) ? null : StoreTime.FromMicroseconds(reader.GetInt64(7)),
        EndedBy = reader.GetString(8),
    };
}
