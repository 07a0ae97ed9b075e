using Microsoft.Data.Sqlite;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Sqlite;

/// <summary>Turns SQLite's result codes (sqlite.org/rescode.html) into a <see cref="StoreException"/> with a remedy. Pure.</summary>
internal static class SqliteFaults
{
    private const int Error = 1, Permission = 3, Busy = 5, Locked = 6, NoMemory = 7, ReadOnly = 8, IoError = 10, Corrupt = 11, Full = 13,
        CannotOpen = 14, Protocol = 15, Schema = 17, NotADatabase = 26;

    internal static StoreException Translate(SqliteException e, string path)
    {
        var (problem, remedy, isTransient) = e.SqliteErrorCode switch
        {
            Full => ("is on a full disk", "Free space on that disk; the service goes on by itself.", true),
            Busy or Locked or Protocol => ("is locked by another program", "Close the program that holds it open; the service tries again.", true),
            NoMemory => ("needs more memory than there is", "Free memory; the service tries again.", true),
            IoError => ("could not be read or written", "Check the disk and its file system; the service tries again.", true),
            ReadOnly or Permission => ("may not be written", "Give the service's user the right to write the file and its folder.", false),
            CannotOpen => ("cannot be opened", "Check that the folder is there and that the service's user may write it.", false),
            Corrupt or NotADatabase => (
                "is damaged or no SQLite database",
                "Stop the service, keep the file for repair (sqlite3 .recover), and restore a backup or start with an empty folder.",
                false),
            Error or Schema => ("has another schema than this software", "Use the newest software with it; do not change its tables by hand.", false),
            _ => ("refused the request", "See the reason.", false),
        };
        return new StoreException($"The history file '{path}' {problem}. {remedy} (SQLite {e.SqliteExtendedErrorCode}: {e.Message})", isTransient, e);
    }

    /// <summary>True where the open connection is as good as before, once the transaction was rolled back.</summary>
    internal static bool LeavesConnectionUsable(SqliteException e) => e.SqliteErrorCode is Full or Busy or Locked;
}
