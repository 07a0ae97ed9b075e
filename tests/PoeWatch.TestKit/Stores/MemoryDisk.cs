using PoeWatch.Monitoring.Ingestion.Spool;

namespace PoeWatch.TestKit.Stores;

/// <summary>
/// A disk in memory for the spool that fails from its Nth write on, or at it alone, leaving a part of what was being written, as a full disk or a loss of power does.
/// Thread safe.
/// </summary>
public sealed class MemoryDisk : ISpoolDisk
{
    private readonly Lock _gate = new();
    private readonly SortedDictionary<string, byte[]> _files = new(StringComparer.Ordinal);
    private int _writes;

    /// <summary>Writes (appends, cuts, deletions) fail from this one on; null where none does. 0 is the next that comes first.</summary>
    public int? FailFrom { get; set; }

    /// <summary>How many fail before the disk is well again.</summary>
    public int FailCount { get; set; } = int.MaxValue;

    /// <summary>Bytes of a failing append that reach the disk all the same.</summary>
    public int TornBytes { get; set; }

    public long Bytes => Locked(() => _files.Values.Sum(f => (long)f.Length));

    public IReadOnlyList<string> Names => Locked(() => _files.Keys.ToArray());

    /// <summary>Writes so far.</summary>
    public int Writes => _writes;

    /// <summary>Changes one byte of a file.</summary>
    public void Damage(string name, int at) => Locked(() => _files[name][at] ^= 0x55);

    /// <summary>Cuts bytes off a file's end.</summary>
    public void Tear(string name, int bytes) => Locked(() => _files[name] = _files[name][..^bytes]);

    public IReadOnlyList<string> Open() => Names;

    public byte[] Read(string name) => Locked(() => _files[name].ToArray());

    public void Append(string name, ReadOnlySpan<byte> bytes)
    {
        var added = bytes.ToArray();
        Write(
            () => _files[name] = [.. _files.GetValueOrDefault(name, []), .. added],
            () => _files[name] = [.. _files.GetValueOrDefault(name, []), .. added[..Math.Min(TornBytes, added.Length)]]);
    }

    public void Cut(string name, long length) => Write(() => _files[name] = _files[name][..(int)length], () => { });

    public void Delete(string name) => Write(() => _files.Remove(name), () => { });

    private void Write(Action work, Action torn)
    {
        lock (_gate)
        {
            var number = _writes++;
            if (FailFrom is { } from && number >= from && number - from < FailCount)
            {
                torn();
                throw new IOException("No space left on device");
            }

            work();
        }
    }

    private T Locked<T>(Func<T> work)
    {
        lock (_gate)
        {
            return work();
        }
    }
}
