using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Sqlite;

/// <summary>Holds a lock file, so that two services never write one data folder. The operating system frees it when the process ends, however it ends.</summary>
internal sealed class FolderLock : IDisposable
{
    private readonly FileStream _file;

    private FolderLock(FileStream file) => _file = file;

    /// <summary>Takes the lock of a database file and makes its folder.</summary>
    /// <exception cref="StoreException">Another process holds it, or the folder cannot be written.</exception>
    internal static FolderLock Take(string databasePath)
    {
        var folder = Path.GetDirectoryName(databasePath)!;
        var lockPath = databasePath + ".lock";
        try
        {
            Directory.CreateDirectory(folder);
            return new FolderLock(new FileStream(lockPath, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None));
        }
        catch (IOException e) when (File.Exists(lockPath) && !IsDiskFull(e))
        {
            throw new StoreException(
                $"Another PoeWatch service uses the data folder '{folder}' (it holds '{lockPath}'). Stop it, or give this one a folder of its own.",
                isTransient: false,
                e);
        }
        catch (Exception e) when (e is UnauthorizedAccessException or IOException)
        {
            throw new StoreException(
                $"The data folder '{folder}' cannot be written: {e.Message} Give the service's user the right to write there, or choose another folder.",
                isTransient: e is IOException && IsDiskFull(e),
                e);
        }
    }

    public void Dispose() => _file.Dispose();

    // ENOSPC on Unix (28), ERROR_DISK_FULL on Windows (0x80070070).
    private static bool IsDiskFull(Exception e) => e.HResult is 28 or unchecked((int)0x80070070);
}
