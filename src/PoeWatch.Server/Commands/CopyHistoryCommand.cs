using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch copy-history</c>: a backup of the embedded store while the service writes it.</summary>
internal static class CopyHistoryCommand
{
    public static Command Create()
    {
        var output = new Option<string>("--out") { Description = "File to write; must not exist.", Required = true };
        var settings = HistoryFiles.SettingsOption();
        var data = HistoryFiles.DataOption();
        var command = new Command("copy-history", "Back up the embedded store (SQLite) to a file, as of one moment; the service may be running.") { output, settings, data };
        command.SetAction(async (parsed, stop) =>
        {
            ServerSettings loaded = HistoryFiles.Load(parsed.GetValue(settings), parsed.GetValue(data));
            if (Stores.IsServer(loaded.Store))
            {
                throw new SettingsException("The settings name a PostgreSQL database: back it up with PostgreSQL's own programs, as docs/storage.md says.");
            }

            await using var store = new SqliteStore(new SqliteStoreOptions(HistoryFiles.ExistingFile(loaded)), NullLogger<SqliteStore>.Instance);
            var path = parsed.GetRequiredValue(output);
            await store.CopyAsync(path, stop);
            Console.WriteLine($"{path}: the store as it was just now, checked and synced. Keep it on another machine; 'poewatch prove-history' proves it once it is in a folder as history.db.");
            return ExitCodes.Good;
        });
        return command;
    }
}
