using DbUp;
using DbUp.Engine;
using DbUp.Postgresql;
using Npgsql;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Postgres;

/// <summary>Brings the schema up to date with the scripts in sql/postgresql, one starter at a time.</summary>
internal static class PostgresSchema
{
    internal const string JournalTable = "schema_scripts";

    // "PoeWatch" in ASCII: the same number for every service, no other program's.
    private const long LockKey = 0x506F655761746368;

    /// <summary>Runs what has not run yet, each script in a transaction of its own.</summary>
    /// <returns>Names of the scripts that ran now.</returns>
    internal static async Task<IReadOnlyList<string>> UpgradeAsync(
        NpgsqlDataSource source, string schema, CancellationToken cancellationToken)
    {
        await using var connection = await source.OpenConnectionAsync(cancellationToken);

        // Nearly every start finds everything done: what asks many questions more is left out then.
        if (await ReadExecutedAsync(connection, cancellationToken) is { } executed && executed.SetEquals(Scripts()))
        {
            return [];
        }

        await using (var take = new NpgsqlCommand("SELECT pg_advisory_lock($1)", connection) { Parameters = { new() { Value = LockKey } } })
        {
            await take.ExecuteNonQueryAsync(cancellationToken);
        }

        try
        {
            return await Task.Run(() => Upgrade(source, schema), cancellationToken);
        }
        finally
        {
            await using var free = new NpgsqlCommand("SELECT pg_advisory_unlock($1)", connection) { Parameters = { new() { Value = LockKey } } };
            await free.ExecuteNonQueryAsync(CancellationToken.None);
        }
    }

    private static IEnumerable<string> Scripts() =>
        typeof(PostgresSchema).Assembly.GetManifestResourceNames().Where(name => name.EndsWith(".sql", StringComparison.Ordinal));

    // Null where nothing ran yet.
    private static async Task<HashSet<string>?> ReadExecutedAsync(NpgsqlConnection connection, CancellationToken cancellationToken)
    {
        await using var command = new NpgsqlCommand($"SELECT to_regclass('{JournalTable}') IS NOT NULL", connection);
        if (await command.ExecuteScalarAsync(cancellationToken) is not true)
        {
            return null;
        }

        command.CommandText = $"SELECT scriptname::text FROM {JournalTable}";
        await using var reader = await command.ExecuteReaderAsync(cancellationToken);
        var executed = new HashSet<string>(StringComparer.Ordinal);
        while (await reader.ReadAsync(cancellationToken))
        {
            executed.Add(reader.GetString(0));
        }

        return executed;
    }

    private static IReadOnlyList<string> Upgrade(NpgsqlDataSource source, string schema)
    {
        var upgrader = DeployChanges.To
            .PostgresqlDatabase(new PostgresqlConnectionManager(source))
            .JournalToPostgresqlTable(schema, JournalTable)
            .WithScriptsEmbeddedInAssembly(typeof(PostgresSchema).Assembly)
            .WithVariablesDisabled()
            .WithTransactionPerScript()
            .LogToNowhere()
            .Build();
        if (upgrader.GetExecutedScripts().Except(upgrader.GetDiscoveredScripts().Select(s => s.Name)).FirstOrDefault() is { } unknown)
        {
            throw new StoreException($"The database was written by newer software (schema script '{unknown}' is unknown here). Use that version or a newer one.");
        }

        var result = upgrader.PerformUpgrade();
        return result.Successful ? [.. result.Scripts.Select(s => s.Name)] : throw Failed(result);
    }

    private static Exception Failed(DatabaseUpgradeResult result) => PostgresFaults.IsFault(result.Error)
        ? result.Error
        : new StoreException($"The schema script '{result.ErrorScript?.Name}' failed: {result.Error?.Message}", result.Error!);
}
