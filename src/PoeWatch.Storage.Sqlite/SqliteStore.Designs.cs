using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>Which design was in force when.</content>
public sealed partial class SqliteStore
{
    /// <inheritdoc/>
    public async Task SaveDesignAsync(DesignVersion version, CancellationToken cancellationToken) =>
        await WriteAsync(
            (connection, _) =>
            {
                using var command = connection.Command(
                    """
                    INSERT INTO design_version (hash, text, in_force_from_us, applied_by) SELECT $1, $2, $3, $4
                    WHERE $1 IS NOT (SELECT hash FROM design_version ORDER BY id DESC LIMIT 1)
                    """,
                    version.Hash,
                    StoreText.Clean(version.Text),
                    StoreTime.ToMicroseconds(version.InForceFrom),
                    StoreText.Clean(version.AppliedBy));
                return command.ExecuteNonQuery();
            },
            cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<DesignVersion>> ReadDesignsAsync(CancellationToken cancellationToken) =>
        await ReadAsync(
            connection =>
            {
                using var command = connection.Command("SELECT hash, text, in_force_from_us, applied_by FROM design_version ORDER BY id");
                return command.Rows(
                    r => new DesignVersion(r.GetString(0), r.GetString(1), StoreTime.FromMicroseconds(r.GetInt64(2)), r.GetString(3)),
                    cancellationToken);
            },
            cancellationToken);
}
