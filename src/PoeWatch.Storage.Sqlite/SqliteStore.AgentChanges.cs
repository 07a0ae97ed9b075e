using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>What happened to agents.</content>
public sealed partial class SqliteStore
{
    /// <inheritdoc/>
    public async Task SaveAgentChangesAsync(IReadOnlyList<AgentChangeNote> changes, CancellationToken cancellationToken)
    {
        if (changes.Count > 0)
        {
            await WriteAsync((connection, _) => Append(connection, changes), cancellationToken);
        }
    }

    /// <inheritdoc/>
    public async Task<IReadOnlyList<AgentChangeNote>> ReadAgentChangesAsync(
        DateTimeOffset from, DateTimeOffset to, string? pseId, CancellationToken cancellationToken) =>
        await ReadAsync(
            connection =>
            {
                const string Select = "SELECT pse_name, at_us, kind, text FROM agent_change WHERE at_us >= $1 AND at_us < $2";
                var start = StoreTime.ToMicroseconds(from);
                var end = StoreTime.ToMicroseconds(to);
                using var command = pseId is null
                    ? connection.Command($"{Select} ORDER BY at_us, id", start, end)
                    : connection.Command($"{Select} AND pse_name = $3 ORDER BY at_us, id", start, end, pseId);
                return command.Rows(ReadAgentChange, cancellationToken);
            },
            cancellationToken);

    private static int Append(SqliteConnection connection, IReadOnlyList<AgentChangeNote> changes)
    {
        foreach (var change in changes)
        {
            using var command = connection.Command(
                """
                INSERT INTO agent_change (pse_name, at_us, kind, text)
                SELECT $1, $2, $3, $4 WHERE NOT EXISTS (
                    SELECT 1 FROM agent_change WHERE pse_name = $1 AND at_us = $2 AND kind = $3 AND text = $4)
                """,
                change.PseId,
                StoreTime.ToMicroseconds(change.At),
                change.Kind.Name(),
                StoreText.Clean(change.Text));
            command.ExecuteNonQuery();
        }

        return changes.Count;
    }

    private static AgentChangeNote ReadAgentChange(SqliteDataReader reader) => new(
        reader.GetString(0), StoreTime.FromMicroseconds(reader.GetInt64(1)), OutcomeNames.AgentChange(reader.GetString(2)), reader.GetString(3));
}
