using Microsoft.Data.Sqlite;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Sqlite;

/// <content>Copies of the whole file while it is written.</content>
public sealed partial class SqliteStore
{
    /// <summary>
    /// Writes a copy of the file as of one moment, through SQLite's own backup; another process may write meanwhile and does not wait. The copy is checked,
    /// synced and then given its name: what has the name is whole.
    /// </summary>
    /// <exception cref="StoreException">The file cannot be read or the copy not be written; nothing has the name then.</exception>
    public Task CopyAsync(string path, CancellationToken cancellationToken)
    {
        var whole = Path.GetFullPath(path);
        var part = whole + ".part";
        return Task.Run(
            () =>
            {
                if (File.Exists(whole))
                {
                    throw new StoreException($"'{whole}' is there already. Name a file that does not exist.");
                }

                try
                {
                    Copy(part);
                    File.Move(part, whole, overwrite: false);
                }
                catch (SqliteException e)
                {
                    throw SqliteFaults.Translate(e, $"{_path}' or its copy '{part}");
                }
                catch (Exception e) when (e is IOException or UnauthorizedAccessException)
                {
                    throw new StoreException($"The copy '{whole}' cannot be written: {e.Message} Give a file in a folder that this user may write, on a disk with room.", e);
                }
                finally
                {
                    DeletePart(part);
                }
            },
            cancellationToken);
    }

    private void Copy(string part)
    {
        DeletePart(part);
        using (var target = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = part, Pooling = false }.ConnectionString))
        {
            // All pages in one step, so of one moment: the log keeps what is written meanwhile apart.
            using var source = NewConnection(SqliteOpenMode.ReadOnly);
            source.Open();
            target.Open();
            source.BackupDatabase(target);
            using var check = target.Command("PRAGMA quick_check(1)");
            if (check.ExecuteScalar() as string is var found && found != "ok")
            {
                throw new StoreException($"The copy of '{_path}' is damaged ({found}): so is the file itself, most likely. Stop the service and restore an older copy.");
            }

            // One file that stands alone: no log beside it.
            using var alone = target.Command("PRAGMA journal_mode = DELETE");
            alone.ExecuteNonQuery();
        }

        using var file = new FileStream(part, FileMode.Open, FileAccess.ReadWrite);
        file.Flush(flushToDisk: true);
    }

    private static void DeletePart(string part)
    {
        foreach (var file in new[] { "", "-wal", "-shm", "-journal" }.Select(end => part + end).Where(File.Exists))
        {
            File.Delete(file);
        }
    }
}
