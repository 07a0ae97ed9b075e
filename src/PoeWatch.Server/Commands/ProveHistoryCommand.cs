using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch prove-history</c>: works out the seals of a store again from its readings.</summary>
internal static class ProveHistoryCommand
{
    public static Command Create()
    {
        var settings = HistoryFiles.SettingsOption();
        var data = HistoryFiles.DataOption();
        var command = new Command("prove-history", "Work out every seal of a store again from its readings, such as after a restore. Only reads; the service may be running.") { settings, data };
        command.SetAction(async (parsed, stop) =>
        {
            ServerSettings loaded = HistoryFiles.Load(parsed.GetValue(settings), parsed.GetValue(data));
            var proof = Stores.IsServer(loaded.Store)
                ? await ProveDatabaseAsync(Stores.ConnectionString(loaded.Store), stop)
                : await ProveFileAsync(HistoryFiles.ExistingFile(loaded), stop);
            Console.WriteLine(ProofText.Format(proof));
            return proof.FaultCount == 0 ? ExitCodes.Good : ExitCodes.Failed;
        });
        return command;
    }

    private static async Task<HistoryProofResult> ProveFileAsync(string file, CancellationToken stop)
    {
        await using var store = new SqliteStore(new SqliteStoreOptions(file), NullLogger<SqliteStore>.Instance);
        return await new HistoryProof(store, store, store).ProveAsync(stop);
    }

    private static async Task<HistoryProofResult> ProveDatabaseAsync(string connectionString, CancellationToken stop)
    {
        await using var store = new PostgresStore(new PostgresStoreOptions(connectionString), NullLogger<PostgresStore>.Instance);
        return await new HistoryProof(store, store, store).ProveAsync(stop);
    }
}
