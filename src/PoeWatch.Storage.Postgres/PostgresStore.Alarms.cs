using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Alarms;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>Alarms and their changes.</content>
public sealed partial class PostgresStore
{
    private const string SaveAlarm =
        """
        INSERT INTO alarm (resource, type, severity, is_cleared, raised_at, changed_at, text, next_steps,
                           operator_state, operator_name, operator_text, shelf_until, shelf_accepted, maintenance_id)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)
        ON CONFLICT (resource, type) DO UPDATE SET
            severity = excluded.severity, is_cleared = excluded.is_cleared, raised_at = excluded.raised_at,
            changed_at = excluded.changed_at, text = excluded.text, next_steps = excluded.next_steps,
            operator_state = excluded.operator_state, operator_name = excluded.operator_name, operator_text = excluded.operator_text,
            shelf_until = excluded.shelf_until, shelf_accepted = excluded.shelf_accepted, maintenance_id = excluded.maintenance_id
        """;

    // A change that is there already in every word is a repeated call whose first answer was lost, not a second change.
    private const string AppendChange =
        """
        INSERT INTO alarm_change (resource, type, at, kind, severity, who, text, quiet_because)
        SELECT $1, $2, $3, $4, $5, $6, $7, $8 WHERE NOT EXISTS (
            SELECT 1 FROM alarm_change
            WHERE resource = $1 AND type = $2 AND at = $3 AND kind = $4 AND severity = $5 AND who = $6 AND text = $7)
        """;

    /// <inheritdoc/>
    public async Task<IReadOnlyList<Alarm>> LoadAlarmsAsync(CancellationToken cancellationToken) => await RowsAsync(
        """
        SELECT resource, type, severity, is_cleared, raised_at, changed_at, text, next_steps, operator_state, operator_name, operator_text,
               shelf_until, shelf_accepted, maintenance_id
        FROM alarm ORDER BY resource, type
        """,
        ReadAlarm,
        cancellationToken);

    /// <inheritdoc/>
    public async Task SaveAlarmsAsync(
        IReadOnlyList<Alarm> alarms, IReadOnlyList<AlarmChange> changes, CancellationToken cancellationToken)
    {
        if (alarms.Count > 0 || changes.Count > 0)
        {
            await GuardAsync(() => SaveAsync(alarms, changes, cancellationToken));
        }
    }

    /// <inheritdoc/>
    public async Task<IReadOnlyList<AlarmChange>> ReadAlarmChangesAsync(
        DateTimeOffset from, DateTimeOffset to, AlarmKey? key, CancellationToken cancellationToken)
    {
        const string Select = "SELECT resource, type, at, kind, severity, who, text, quiet_because FROM alarm_change WHERE at >= $1 AND at < $2";
        var start = PostgresTime.Of(from);
        var end = PostgresTime.Of(to);
        return key is { } k
            ? await RowsAsync($"{Select} AND resource = $3 AND type = $4 ORDER BY at, id", ReadChange, cancellationToken, start, end, k.Resource, k.Type)
            : await RowsAsync($"{Select} ORDER BY at, id", ReadChange, cancellationToken, start, end);
    }

    private async Task<int> SaveAsync(IReadOnlyList<Alarm> alarms, IReadOnlyList<AlarmChange> changes, CancellationToken cancellationToken)
    {
        await using var connection = await _source.OpenConnectionAsync(cancellationToken);
        await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
        await using var batch = new NpgsqlBatch(connection, transaction);
        foreach (var alarm in alarms)
        {
            var saved = Command(
                SaveAlarm,
                alarm.Key.Resource,
                alarm.Key.Type,
                (short)alarm.Severity,
                alarm.IsCleared,
                PostgresTime.Of(alarm.RaisedAt),
                PostgresTime.Of(alarm.ChangedAt),
                StoreText.Clean(alarm.Text),
                StoreText.Clean(alarm.NextSteps),
                (short)alarm.OperatorState,
                StoreText.Clean(alarm.OperatorName),
                StoreText.Clean(alarm.OperatorText));
            saved.Parameters.Add(new NpgsqlParameter
            {
                NpgsqlDbType = NpgsqlDbType.TimestampTz, Value = alarm.Shelf?.Until is { } until ? PostgresTime.Of(until) : DBNull.Value,
            });
            saved.Parameters.Add(new NpgsqlParameter
            {
                NpgsqlDbType = NpgsqlDbType.Smallint, Value = alarm.Shelf?.AcceptedUpTo is { } accepted ? (short)accepted : DBNull.Value,
            });
            saved.Parameters.Add(new NpgsqlParameter { Value = alarm.MaintenanceId });
            batch.BatchCommands.Add(saved);
        }

        foreach (var change in changes)
        {
            batch.BatchCommands.Add(Append(change));
        }

        var rows = await batch.ExecuteNonQueryAsync(cancellationToken);
        await transaction.CommitAsync(cancellationToken);
        return rows;
    }

    /// <inheritdoc/>
    public async Task PurgeAlarmsAsync(IReadOnlyList<AlarmChange> purged, CancellationToken cancellationToken)
    {
        if (purged.Count > 0)
        {
            await GuardAsync(async () =>
            {
                await using var connection = await _source.OpenConnectionAsync(cancellationToken);
                await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
                await using var batch = new NpgsqlBatch(connection, transaction);
                foreach (var change in purged)
                {
                    batch.BatchCommands.Add(Command(
                        "DELETE FROM alarm WHERE resource = $1 AND type = $2 AND is_cleared", change.Key.Resource, change.Key.Type));
                    batch.BatchCommands.Add(Append(change));
                }

                var rows = await batch.ExecuteNonQueryAsync(cancellationToken);
                await transaction.CommitAsync(cancellationToken);
                return rows;
            });
        }
    }

    private static NpgsqlBatchCommand Append(AlarmChange change) => Command(
        AppendChange,
        change.Key.Resource,
        change.Key.Type,
        PostgresTime.Of(change.At),
        change.Kind,
        (short)change.Severity,
        StoreText.Clean(change.Who),
        StoreText.Clean(change.Text),
        change.QuietBecause);

    private static NpgsqlBatchCommand Command(string sql, params ReadOnlySpan<object> values)
    {
        var command = new NpgsqlBatchCommand(sql);
        foreach (var value in values)
        {
            command.Parameters.Add(new NpgsqlParameter { Value = value });
        }

        return command;
    }

    private static Alarm ReadAlarm(NpgsqlDataReader reader) => new(
        new AlarmKey(reader.GetString(0), reader.GetString(1)),
        (AlarmSeverity)reader.GetInt16(2),
        reader.GetBoolean(3),
        reader.GetDateTime(4),
        reader.GetDateTime(5),
        reader.GetString(6),
        reader.GetString(7),
        (OperatorState)reader.GetInt16(8),
        reader.GetString(9),
        reader.GetString(10))
    {
        Shelf = ShelfRow.Of(reader.GetInt16(8), reader.IsDBNull(11) ? null : reader.GetDateTime(11), reader.IsDBNull(12) ? null : reader.GetInt16(12)),
        MaintenanceId = reader.GetString(13),
    };

    private static AlarmChange ReadChange(NpgsqlDataReader reader) => new(
        new AlarmKey(reader.GetString(0), reader.GetString(1)),
        reader.GetDateTime(2),
        reader.GetString(3),
        (AlarmSeverity)reader.GetInt16(4),
        reader.GetString(5),
        reader.GetString(6))
    {
        QuietBecause = reader.GetString(7),
    };
}
