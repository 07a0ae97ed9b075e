using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Alarms;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>Alarms and their changes.</content>
public sealed partial class SqliteStore
{
    /// <inheritdoc/>
    public async Task<IReadOnlyList<Alarm>> LoadAlarmsAsync(CancellationToken cancellationToken) =>
        await ReadAsync(
            connection =>
            {
                using var command = connection.Command(
                    """
                    SELECT resource, type, severity, is_cleared, raised_at_us, changed_at_us, text, next_steps,
                           operator_state, operator_name, operator_text, shelf_until_us, shelf_accepted, maintenance_id
                    FROM alarm ORDER BY resource, type
                    """);
                return command.Rows(ReadAlarm, cancellationToken);
            },
            cancellationToken);

    /// <inheritdoc/>
    public async Task SaveAlarmsAsync(
        IReadOnlyList<Alarm> alarms, IReadOnlyList<AlarmChange> changes, CancellationToken cancellationToken)
    {
        if (alarms.Count > 0 || changes.Count > 0)
        {
            await WriteAsync((connection, _) => Save(connection, alarms) + Append(connection, changes), cancellationToken);
        }
    }

    /// <inheritdoc/>
    public async Task<IReadOnlyList<AlarmChange>> ReadAlarmChangesAsync(
        DateTimeOffset from, DateTimeOffset to, AlarmKey? key, CancellationToken cancellationToken) =>
        await ReadAsync(
            connection =>
            {
                const string Select = "SELECT resource, type, at_us, kind, severity, who, text, quiet_because FROM alarm_change WHERE at_us >= $1 AND at_us < $2";
                var start = StoreTime.ToMicroseconds(from);
                var end = StoreTime.ToMicroseconds(to);
                using var command = key is { } k
                    ? connection.Command($"{Select} AND resource = $3 AND type = $4 ORDER BY at_us, id", start, end, k.Resource, k.Type)
                    : connection.Command($"{Select} ORDER BY at_us, id", start, end);
                return command.Rows(ReadChange, cancellationToken);
            },
            cancellationToken);

    /// <inheritdoc/>
    public async Task PurgeAlarmsAsync(IReadOnlyList<AlarmChange> purged, CancellationToken cancellationToken) =>
        await WriteAsync(
            (connection, _) =>
            {
                foreach (var change in purged)
                {
                    using var command = connection.Command(
                        "DELETE FROM alarm WHERE resource = $1 AND type = $2 AND is_cleared = 1", change.Key.Resource, change.Key.Type);
                    command.ExecuteNonQuery();
                }

                return Append(connection, purged);
            },
            cancellationToken);

    private static int Save(SqliteConnection connection, IReadOnlyList<Alarm> alarms)
    {
        foreach (var alarm in alarms)
        {
            using var command = connection.Command(
                """
                INSERT INTO alarm (resource, type, severity, is_cleared, raised_at_us, changed_at_us, text, next_steps,
                                   operator_state, operator_name, operator_text, shelf_until_us, shelf_accepted, maintenance_id)
                VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)
                ON CONFLICT (resource, type) DO UPDATE SET
                    severity = excluded.severity, is_cleared = excluded.is_cleared, raised_at_us = excluded.raised_at_us,
                    changed_at_us = excluded.changed_at_us, text = excluded.text, next_steps = excluded.next_steps,
                    operator_state = excluded.operator_state, operator_name = excluded.operator_name, operator_text = excluded.operator_text,
                    shelf_until_us = excluded.shelf_until_us, shelf_accepted = excluded.shelf_accepted, maintenance_id = excluded.maintenance_id
                """,
                alarm.Key.Resource,
                alarm.Key.Type,
                (long)alarm.Severity,
                alarm.IsCleared ? 1L : 0L,
                StoreTime.ToMicroseconds(alarm.RaisedAt),
                StoreTime.ToMicroseconds(alarm.ChangedAt),
                StoreText.Clean(alarm.Text),
                StoreText.Clean(alarm.NextSteps),
                (long)alarm.OperatorState,
                StoreText.Clean(alarm.OperatorName),
                StoreText.Clean(alarm.OperatorText),
                alarm.Shelf?.Until is { } until ? StoreTime.ToMicroseconds(until) : null,
                alarm.Shelf?.AcceptedUpTo is { } accepted ? (long)accepted : null,
                alarm.MaintenanceId);
            command.ExecuteNonQuery();
        }

        return alarms.Count;
    }

    // A change that is there already in every word is a repeated call whose first answer was lost, not a second change.
    private static int Append(SqliteConnection connection, IReadOnlyList<AlarmChange> changes)
    {
        foreach (var change in changes)
        {
            using var command = connection.Command(
                """
                INSERT INTO alarm_change (resource, type, at_us, kind, severity, who, text, quiet_because)
                SELECT $1, $2, $3, $4, $5, $6, $7, $8 WHERE NOT EXISTS (
                    SELECT 1 FROM alarm_change
                    WHERE resource = $1 AND type = $2 AND at_us = $3 AND kind = $4 AND severity = $5 AND who = $6 AND text = $7)
                """,
                change.Key.Resource,
                change.Key.Type,
                StoreTime.ToMicroseconds(change.At),
                change.Kind,
                (long)change.Severity,
                StoreText.Clean(change.Who),
                StoreText.Clean(change.Text),
                change.QuietBecause);
            command.ExecuteNonQuery();
        }

        return changes.Count;
    }

    private static Alarm ReadAlarm(SqliteDataReader reader) => new(
        new AlarmKey(reader.GetString(0), reader.GetString(1)),
        (AlarmSeverity)reader.GetInt32(2),
        reader.GetBoolean(3),
        StoreTime.FromMicroseconds(reader.GetInt64(4)),
        StoreTime.FromMicroseconds(reader.GetInt64(5)),
        reader.GetString(6),
        reader.GetString(7),
        (OperatorState)reader.GetInt32(8),
        reader.GetString(9),
        reader.GetString(10))
    {
        Shelf = ShelfRow.Of(
            reader.GetInt32(8), reader.IsDBNull(11) ? null : StoreTime.FromMicroseconds(reader.GetInt64(11)), reader.IsDBNull(12) ? null : reader.GetInt32(12)),
        MaintenanceId = reader.GetString(13),
    };

    private static AlarmChange ReadChange(SqliteDataReader reader) => new(
        new AlarmKey(reader.GetString(0), reader.GetString(1)),
        StoreTime.FromMicroseconds(reader.GetInt64(2)),
        reader.GetString(3),
        (AlarmSeverity)reader.GetInt32(4),
        reader.GetString(5),
        reader.GetString(6))
    {
        QuietBecause = reader.GetString(7),
    };
}
