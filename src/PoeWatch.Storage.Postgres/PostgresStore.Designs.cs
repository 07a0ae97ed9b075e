using Npgsql;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>Which design was in force when.</content>
public sealed partial class PostgresStore
{
    /// <inheritdoc/>
    public async Task SaveDesignAsync(DesignVersion version, CancellationToken cancellationToken) => await GuardAsync(async () =>
    {
        await using var command = _source.CreateCommand(
            """
            INSERT INTO design_version (hash, text, in_force_from, applied_by) SELECT $1, $2, $3, $4
            WHERE $1 IS DISTINCT FROM (SELECT hash FROM design_version ORDER BY id DESC LIMIT 1)
            """);
        command.Parameters.Add(new NpgsqlParameter { Value = version.Hash });
        command.Parameters.Add(new NpgsqlParameter { Value = StoreText.Clean(version.Text) });
        command.Parameters.Add(new NpgsqlParameter { Value = PostgresTime.Of(version.InForceFrom) });
        command.Parameters.Add(new NpgsqlParameter { Value = StoreText.Clean(version.AppliedBy) });
        return await command.ExecuteNonQueryAsync(cancellationToken);
    });

    /// <inheritdoc/>
    public async Task<IReadOnlyList<DesignVersion>> ReadDesignsAsync(CancellationToken cancellationToken) => await RowsAsync(
        "SELECT hash, text, in_force_from, applied_by FROM design_version ORDER BY id",
        r => new DesignVersion(r.GetString(0), r.GetString(1), r.GetDateTime(2), r.GetString(3)),
        cancellationToken);
}
