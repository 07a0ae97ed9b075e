using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>Maintenance windows.</content>
public sealed partial class PostgresStore
{
    /// <inheritdoc/>
    public async Task SaveWindowAsync(MaintenanceWindow window, CancellationToken cancellationToken) => await GuardAsync(async () =>
    {
        await using var command = _source.CreateCommand(
            """
            INSERT INTO maintenance_window (id, scope, from_at, to_at, who, reason, added_at, ended_by, ended_at)
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
            ON CONFLICT (id) DO UPDATE SET ended_at = excluded.ended_at, ended_by = excluded.ended_by
            """);
        foreach (object value in (object[])[
            window.Id, window.Scope, PostgresTime.Of(window.From), PostgresTime.Of(window.To), StoreText.Clean(window.Who), StoreText.Clean(window.Reason),
            PostgresTime.Of(window.AddedAt), StoreText.Clean(window.EndedBy)])
        {
            command.Parameters.Add(new NpgsqlParameter { Value = value });
        }

        command.Parameters.Add(new NpgsqlParameter
        {
            NpgsqlDbType = NpgsqlDbType.TimestampTz, Value = window.EndedAt is { } ended ? PostgresTime.Of(ended) : DBNull.Value,
        });
        return await command.ExecuteNonQueryAsync(cancellationToken);
    });

    /// <inheritdoc/>
    public async Task<IReadOnlyList<MaintenanceWindow>> ReadWindowsAsync(DateTimeOffset endingFrom, CancellationToken cancellationToken) => await RowsAsync(
        "SELECT id, scope, from_at, to_at, who, reason, added_at, ended_at, ended_by FROM maintenance_window WHERE to_at >= $1 ORDER BY from_at, id",
        ReadWindow,
        cancellationToken,
        PostgresTime.Of(endingFrom));

    private static MaintenanceWindow ReadWindow(NpgsqlDataReader reader) => new(
        reader.GetString(0),
        reader.GetString(1),
        reader.GetDateTime(2),
        reader.GetDateTime(3),
        reader.GetString(4),
        reader.GetString(5),
        reader.GetDateTime(6))
    {
        EndedAt = reader.IsDBNull(7) ? null : reader.GetDateTime(7),
        EndedBy = reader.GetString(8),
    };
}
