using DbUp;
using DbUp.Engine;
using DbUp.Sqlite.Helpers;
using Microsoft.Data.Sqlite;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Sqlite;

/// <summary>Brings the schema up to date with the scripts in sql/sqlite. The folder lock keeps a second starter away meanwhile.</summary>
internal static class SqliteSchema
{
    internal const string JournalTable = "schema_scripts";

    /// <summary>Runs what has not run yet, each script in a transaction of its own.</summary>
    /// <returns>Names of the scripts that ran now.</returns>
    internal static IReadOnlyList<string> Upgrade(SqliteConnection connection)
    {
        using var shared = new SharedConnection(connection);
        var upgrader = DeployChanges.To
            .SqliteDatabase(shared)
            .JournalToSqliteTable(JournalTable)
            .WithScriptsEmbeddedInAssembly(typeof(SqliteSchema).Assembly)
            .WithVariablesDisabled()
            .WithTransactionPerScript()
            .LogToNowhere()
            .Build();
        if (upgrader.GetExecutedScripts().Except(upgrader.GetDiscoveredScripts().Select(s => s.Name)).FirstOrDefault() is { } unknown)
        {
            throw new StoreException($"The history file was written by newer software (schema script '{unknown}' is unknown here). Use that version or a newer one.");
        }

        var result = upgrader.PerformUpgrade();
        return result.Successful ? [.. result.Scripts.Select(s => s.Name)] : throw Failed(result);
    }

    private static Exception Failed(DatabaseUpgradeResult result) => result.Error is SqliteException
        ? result.Error
        : new StoreException($"The schema script '{result.ErrorScript?.Name}' failed: {result.Error?.Message}", result.Error!);
}
