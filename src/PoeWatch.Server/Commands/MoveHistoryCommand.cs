using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Storage.Moves;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch move-history</c>: everything that the embedded store holds into an empty PostgreSQL database.</summary>
internal static class MoveHistoryCommand
{
    public static Command Create()
    {
        var settings = HistoryFiles.SettingsOption();
        var data = HistoryFiles.DataOption();
        var command = new Command("move-history", "Copy all that the embedded store (SQLite) holds into the empty PostgreSQL database that the settings name, and prove that it is the same. The service must not be running.") { settings, data };
        command.SetAction(async (parsed, stop) =>
        {
            ServerSettings loaded = HistoryFiles.Load(parsed.GetValue(settings), parsed.GetValue(data));
            if (!Stores.IsServer(loaded.Store))
            {
                throw new SettingsException("No database is named to move to. Set store.postgresFile to a file with the connection string (or store.postgres), in the settings or the environment.");
            }

            return await MoveAsync(HistoryFiles.ExistingFile(loaded), Stores.ConnectionString(loaded.Store), stop);
        });
        return command;
    }

    private static async Task<int> MoveAsync(string file, string connectionString, CancellationToken stop)
    {
        // Opened as a service opens them: each takes its lock, so no service can write meanwhile, and brings its tables up to this version.
        await using var from = new SqliteStore(new SqliteStoreOptions(file), NullLogger<SqliteStore>.Instance);
        await from.PrepareAsync(stop);
        await using var to = new PostgresStore(new PostgresStoreOptions(connectionString), NullLogger<PostgresStore>.Instance);
        await to.PrepareAsync(stop);
        Console.WriteLine($"From {file}. Nothing is kept in the database until all of it is there; it can be broken off and begun anew.");
        await StoreMover.MoveAsync(from, to, moved => Console.WriteLine($"{moved.Name}: {moved.Rows} rows, read back and compared"), stop);
        Console.WriteLine("Everything is in the database. Its seals are worked out again from what it gives back:");
        var proof = await new HistoryProof(to, to, to).ProveAsync(stop);
        Console.WriteLine(ProofText.Format(proof));
        Console.WriteLine(proof.FaultCount == 0
            ? $"Start the service with these settings. '{file}' is as it was: keep it until the database has been backed up."
            : $"The database holds what '{file}' holds, row by row: the faults are in both. Restore an older copy of the file, or keep the faults on record.");
        return proof.FaultCount == 0 ? ExitCodes.Good : ExitCodes.Failed;
    }
}
