namespace PoeWatch.Monitoring.Ingestion.Spool;

/// <summary>The few things that a spool does with files. Failures are <see cref="IOException"/> or <see cref="UnauthorizedAccessException"/>. One caller at a time.</summary>
public interface ISpoolDisk
{
    /// <summary>Takes the folder for this process alone and lists its spool files, by name.</summary>
    IReadOnlyList<string> Open();

    byte[] Read(string name);

    /// <summary>Appends to a file, made where it is missing, and syncs it. On failure a part may be there.</summary>
    void Append(string name, ReadOnlySpan<byte> bytes);

    /// <summary>Cuts a file to a length and syncs it.</summary>
    void Cut(string name, long length);

    void Delete(string name);
}

/// <summary>A folder of spool files. A lock file in it keeps a second service away; the operating system frees it however the process ends.</summary>
public sealed class SpoolFolder(string folder) : ISpoolDisk, IDisposable
{
    private FileStream? _lock;

    public IReadOnlyList<string> Open()
    {
        Directory.CreateDirectory(folder);
        _lock ??= new FileStream(Path.Combine(folder, "lock"), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        return [.. Directory.GetFiles(folder, "*.spool").Select(f => Path.GetFileName(f)).Order(StringComparer.Ordinal)];
    }

    public byte[] Read(string name) => File.ReadAllBytes(Path.Combine(folder, name));

    public void Append(string name, ReadOnlySpan<byte> bytes)
    {
        using var file = new FileStream(Path.Combine(folder, name), FileMode.Append, FileAccess.Write, FileShare.Read, bufferSize: 0);
        file.Write(bytes);
        file.Flush(flushToDisk: true);
    }

    public void Cut(string name, long length)
    {
        using var file = new FileStream(Path.Combine(folder, name), FileMode.Open, FileAccess.Write, FileShare.Read, bufferSize: 0);
        file.SetLength(length);
        file.Flush(flushToDisk: true);
    }

    public void Delete(string name) => File.Delete(Path.Combine(folder, name));

    public void Dispose() => _lock?.Dispose();
}
