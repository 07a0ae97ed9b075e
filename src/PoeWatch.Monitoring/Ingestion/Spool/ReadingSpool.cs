using System.Globalization;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Ingestion.Spool;

/// <summary>
/// Polls on the local disk that the store could not take, oldest first, within a stated bound. What was added is synced; what is there after a crash or a
/// restart is found again. Nothing goes but what was taken out: where it is full, adding is refused. Counts may be read from any thread, the rest by one.
/// </summary>
public sealed partial class ReadingSpool(ISpoolDisk disk, long bytesMax, ILogger<ReadingSpool> log)
{
    // A file goes when all in it was taken out, so small files give room back early.
    private const int FileMax = 4 << 20;

    private readonly LinkedList<SpoolFile> _files = new();
    private long _nextName = 1;
    private long _bytes;
    private long _polls;
    private long _lost;
    private bool _isOpen;
    private string _problem = string.Empty;

    /// <summary>Bytes of the files.</summary>
    public long Bytes => Volatile.Read(ref _bytes);

    public long BytesMax => bytesMax;

    /// <summary>Polls that wait in it.</summary>
    public long Polls => Volatile.Read(ref _polls);

    /// <summary>Frames that were found damaged and could not be replayed, since the start.</summary>
    public long Damaged => Volatile.Read(ref _lost);

    /// <summary>Why it takes nothing now; empty where it does.</summary>
    public string Problem => Volatile.Read(ref _problem);

    /// <summary>Finds what a former life left, and cuts what was being written when that ended. Again where it failed.</summary>
    public bool TryOpen()
    {
        if (_isOpen)
        {
            return true;
        }

        try
        {
            _files.Clear();
            (_bytes, _polls) = (0, 0);
            foreach (var name in disk.Open())
            {
                _files.AddLast(Scan(name));
                _nextName = Math.Max(_nextName, long.TryParse(name.AsSpan(0, name.Length - ".spool".Length), CultureInfo.InvariantCulture, out var number) ? number + 1 : 1);
            }

            if (_polls > 0)
            {
                LogFound(_polls, _bytes);
            }

            Volatile.Write(ref _problem, string.Empty);
            return _isOpen = true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            Fail(e);
            return false;
        }
    }

    /// <summary>Adds polls as one frame and syncs them: kept once it returns true. False where it is full or the disk refuses.</summary>
    public bool TryAdd(IReadOnlyList<SwitchReading> readings)
    {
        if (!TryOpen())
        {
            return false;
        }

        var frame = SpoolCodec.Encode(readings);
        if (_bytes + frame.Length > bytesMax)
        {
            Refuse(FormattableString.Invariant($"The spool is full: {_bytes >> 20} of {bytesMax >> 20} MiB. Bring the store back, or raise keeper.spoolMiB."));
            return false;
        }

        try
        {
            SpoolFile file = Last(frame.Length);
            disk.Append(file.Name, frame);
            file.Add(frame.Length, readings.Count);
            Volatile.Write(ref _bytes, _bytes + frame.Length);
            Volatile.Write(ref _polls, _polls + readings.Count);
            Volatile.Write(ref _problem, string.Empty);
            return true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            Fail(e);
            Mend();
            return false;
        }
    }

    /// <summary>The oldest polls: whole frames, at least one, of up to so many polls together. They stay until <see cref="Remove"/>.</summary>
    public SpooledBatch? Peek(int most)
    {
        while (TryOpen() && _files.First?.Value is { } file)
        {
            if (file.Frames.Count == 0)
            {
                DropFirst(file);
                continue;
            }

            try
            {
                return Read(file, most);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                Fail(e);
                return null;
            }
        }

        return null;
    }

    /// <summary>Takes out what the store has taken.</summary>
    public void Remove(SpooledBatch batch)
    {
        SpoolFile file = _files.First!.Value;
        for (var i = 0; i < batch.Frames; i++)
        {
            Volatile.Write(ref _polls, _polls - file.Frames.Dequeue().Polls);
        }

        if (file.Frames.Count == 0)
        {
            DropFirst(file);
        }
    }

    private SpooledBatch Read(SpoolFile file, int most)
    {
        var bytes = disk.Read(file.Name);
        var (readings, frames) = (new List<SwitchReading>(), 0);
        foreach ((long begin, int length, int polls) in file.Frames)
        {
            if (frames > 0 && readings.Count + polls > most)
            {
                break;
            }

            frames++;
            ReadOnlySpan<byte> frame = begin + length <= bytes.LongLength ? bytes.AsSpan((int)begin, length) : [];
            if (frame.IsEmpty || !SpoolCodec.IsSound(frame))
            {
                LoseFrame(file.Name, begin, "its check sum is wrong");
                continue;
            }

            try
            {
                readings.AddRange(SpoolCodec.Decode(frame));
            }
            catch (StoreException unreadable)
            {
                LoseFrame(file.Name, begin, unreadable.Message);
            }
        }

        return new SpooledBatch(readings, frames);
    }

    // What is not whole at the end of the file was being written when the service ended, and nobody was told that it is kept. Where sound frames follow,
    // it is damage: they are found by their check sums, and what lies between is lost and said.
    private SpoolFile Scan(string name)
    {
        ReadOnlySpan<byte> bytes = disk.Read(name);
        var file = new SpoolFile(name);
        while (file.Length < bytes.Length)
        {
            var begin = (int)file.Length;
            var sound = begin;
            while (sound < bytes.Length && !SpoolCodec.BeginsSound(bytes[sound..]))
            {
                sound++;
            }

            if (sound == bytes.Length)
            {
                LogTorn(name, bytes.Length - begin);
                disk.Cut(name, begin);
                break;
            }

            if (sound > begin)
            {
                LoseFrame(name, begin, "its check sum is wrong");
                file.Pass(sound - begin);
            }

            var length = SpoolCodec.FrameLength(bytes[sound..])!.Value;
            var polls = SpoolCodec.Count(bytes.Slice(sound, length));
            file.Add(length, polls);
            _polls += polls;
        }

        _bytes += file.Length;
        return file;
    }

    private SpoolFile Last(int length)
    {
        if (_files.Last?.Value is { IsClosed: false } last && last.Length + length <= FileMax)
        {
            return last;
        }

        var file = new SpoolFile(string.Create(CultureInfo.InvariantCulture, $"{_nextName++:D12}.spool"));
        _files.AddLast(file);
        return file;
    }

    // What a failed write left is cut off; where that fails too, the next frame goes to a new file and this one ends there.
    private void Mend()
    {
        if (_files.Last?.Value is not { } last)
        {
            return;
        }

        try
        {
            if (last.Length == 0)
            {
                disk.Delete(last.Name);
                _files.RemoveLast();
            }
            else
            {
                disk.Cut(last.Name, last.Length);
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            last.IsClosed = true;
        }
    }

    private void DropFirst(SpoolFile file)
    {
        _files.RemoveFirst();
        Volatile.Write(ref _bytes, _bytes - file.Length);
        try
        {
            disk.Delete(file.Name);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Replayed again after a restart, which changes nothing in the store.
            Fail(e);
        }
    }

    private void LoseFrame(string name, long begin, string reason)
    {
        Volatile.Write(ref _lost, _lost + 1);
        LogDamaged(name, begin, reason);
    }

    private void Fail(Exception e) => Refuse($"The spool cannot be used: {e.Message} Free space on the data folder's disk, and give the service's user the right to write there.");

    private void Refuse(string problem)
    {
        if (Problem != problem)
        {
            LogRefused(problem);
        }

        Volatile.Write(ref _problem, problem);
    }

    [LoggerMessage(2140, LogLevel.Warning, "{Polls} polls of a former life wait in the spool ({Bytes} bytes) and go to the store first.")]
    private partial void LogFound(long polls, long bytes);

    [LoggerMessage(2141, LogLevel.Warning, "Spool file {Name}: {Bytes} bytes at its end were being written when the service ended; they are cut off.")]
    private partial void LogTorn(string name, long bytes);

    [LoggerMessage(2142, LogLevel.Error, "Spool file {Name}: the frame at byte {Begin} is damaged and its polls are lost: {Reason}")]
    private partial void LogDamaged(string name, long begin, string reason);

    [LoggerMessage(2143, LogLevel.Error, "{Problem}")]
    private partial void LogRefused(string problem);

    private sealed class SpoolFile(string name)
    {
        internal string Name => name;

        internal long Length { get; private set; }

        internal bool IsClosed { get; set; }

        internal Queue<(long Begin, int Length, int Polls)> Frames { get; } = new();

        internal void Add(int length, int polls)
        {
            Frames.Enqueue((Length, length, polls));
            Length += length;
        }

        internal void Pass(int length) => Length += length;
    }
}

/// <summary>Polls out of the spool, and how many frames they are.</summary>
public sealed record SpooledBatch(IReadOnlyList<SwitchReading> Readings, int Frames);
