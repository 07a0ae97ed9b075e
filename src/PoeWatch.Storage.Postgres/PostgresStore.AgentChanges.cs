using Npgsql;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>What happened to agents.</content>
public sealed partial class PostgresStore
{
    private const string AppendAgentChange =
        """
        INSERT INTO agent_change (pse_name, at, kind, text)
        SELECT $1, $2, $3, $4 WHERE NOT EXISTS (
            SELECT 1 FROM agent_change WHERE pse_name = $1 AND at = $2 AND kind = $3 AND text = $4)
        """;

    /// <inheritdoc/>
    public async Task SaveAgentChangesAsync(IReadOnlyList<AgentChangeNote> changes, CancellationToken cancellationToken)
    {
        if (changes.Count > 0)
        {
            await GuardAsync(() => SaveAsync(changes, cancellationToken));
        }
    }

    /// <inheritdoc/>
    public async Task<IReadOnlyList<AgentChangeNote>> ReadAgentChangesAsync(
        DateTimeOffset from, DateTimeOffset to, string? pseId, CancellationToken cancellationToken)
    {
        const string Select = "SELECT pse_name, at, kind, text FROM agent_change WHERE at >= $1 AND at < $2";
        var start = PostgresTime.Of(from);
        var end = PostgresTime.Of(to);
        return pseId is null
            ? await RowsAsync($"{Select} ORDER BY at, id", ReadAgentChange, cancellationToken, start, end)
            : await RowsAsync($"{Select} AND pse_name = $3 ORDER BY at, id", ReadAgentChange, cancellationToken, start, end, pseId);
    }

    private async Task<int> SaveAsync(IReadOnlyList<AgentChangeNote> changes, CancellationToken cancellationToken)
    {
        await using var connection = await _source.OpenConnectionAsync(cancellationToken);
        await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
        await using var batch = new NpgsqlBatch(connection, transaction);
        foreach (var change in changes)
        {
            batch.BatchCommands.Add(Command(AppendAgentChange, change.PseId, PostgresTime.Of(change.At), change.Kind.Name(), StoreText.Clean(change.Text)));
        }

        var rows = await batch.ExecuteNonQueryAsync(cancellationToken);
        await transaction.CommitAsync(cancellationToken);
        return rows;
    }

    private static AgentChangeNote ReadAgentChange(NpgsqlDataReader reader) => new(
        reader.GetString(0), reader.GetDateTime(1), OutcomeNames.AgentChange(reader.GetString(2)), reader.GetString(3));
}
