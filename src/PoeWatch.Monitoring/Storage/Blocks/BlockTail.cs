using System.Buffers;
using System.Text;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>The end of a block, which a reader of single ports never looks at: sequence, up-time, interface names and texts of its polls.</summary>
internal static class BlockTail
{
    private const long TicksPerCentisecond = TimeSpan.TicksPerMillisecond * 10;

    internal static void Write(ArrayBufferWriter<byte> output, ReadOnlySpan<BlockPoll> polls, ReadOnlySpan<long> times)
    {
        var (sequences, names, texts) = (new long[polls.Length], new long[polls.Length], new int[polls.Length]);
        var distinct = new List<string> { "" };
        for (var i = 0; i < polls.Length; i++)
        {
            sequences[i] = polls[i].Reading.Sequence;
            names[i] = polls[i].NamesId;
            texts[i] = distinct.IndexOf(polls[i].Reading.Detail);
            if (texts[i] < 0)
            {
                texts[i] = distinct.Count;
                distinct.Add(polls[i].Reading.Detail);
            }
        }

        NumberColumn.Write(output, sequences);
        WriteUpTimes(output, polls, times);
        WriteNames(output, names);
        output.WriteVarint((ulong)distinct.Count - 1);
        foreach (var text in distinct.Skip(1))
        {
            output.WriteVarint((ulong)Encoding.UTF8.GetByteCount(text));
            output.Write(Encoding.UTF8.GetBytes(text));
        }

        if (distinct.Count > 1)
        {
            Stretches.Write(output, texts);
        }
    }

    internal static Tail Read(ref PackedReader input, ReadOnlySpan<long> times)
    {
        var (sequences, names, textNumbers) = (new long[times.Length], new long[times.Length], new int[times.Length]);
        NumberColumn.Read(ref input, sequences);
        var upTimes = ReadUpTimes(ref input, times);
        ReadNames(ref input, names);
        var texts = new string[input.ReadCount("texts", 1) + 1];
        texts[0] = "";
        for (var i = 1; i < texts.Length; i++)
        {
            texts[i] = Encoding.UTF8.GetString(input.ReadBytes(input.ReadInt("length")));
        }

        if (texts.Length > 1)
        {
            Stretches.Read(ref input, textNumbers, texts.Length, "text");
        }

        return new Tail(sequences, upTimes, names, Array.ConvertAll(textNumbers, n => texts[n]));
    }

    // sysUpTime counts hundredths of a second (RFC 3418) and runs beside our own clock: held against the time of the answer little of it is left.
    private static void WriteUpTimes(ArrayBufferWriter<byte> output, ReadOnlySpan<BlockPoll> polls, ReadOnlySpan<long> times)
    {
        var isThere = new int[polls.Length];
        var (upTimes, beside) = (new List<long>(polls.Length), new List<long>(polls.Length));
        for (var i = 0; i < polls.Length; i++)
        {
            if (polls[i].Reading.UpTime is { } upTime)
            {
                isThere[i] = 1;
                upTimes.Add(upTime.Ticks);
                beside.Add(times[i]);
            }
        }

        Stretches.Write(output, isThere);
        if (upTimes.Count == 0)
        {
            return;
        }

        var unit = upTimes.TrueForAll(static t => t % TicksPerCentisecond == 0) ? TicksPerCentisecond : 1;
        var plain = new ArrayBufferWriter<byte>();
        NumberColumn.Write(plain, [.. upTimes.Select(t => t / unit)]);
        var held = new ArrayBufferWriter<byte>();
        NumberColumn.Write(held, [.. upTimes.Zip(beside, (t, time) => (t / unit) - (time / unit))]);
        var isHeld = held.WrittenCount < plain.WrittenCount;
        output.WriteByte((byte)((unit == 1 ? 1 : 0) | (isHeld ? 2 : 0)));
        output.Write((isHeld ? held : plain).WrittenSpan);
    }

    private static TimeSpan?[] ReadUpTimes(ref PackedReader input, ReadOnlySpan<long> times)
    {
        var isThere = new int[times.Length];
        Stretches.Read(ref input, isThere, 2, "up-time");
        var upTimes = new TimeSpan?[times.Length];
        var numbers = new long[isThere.Count(n => n == 1)];
        if (numbers.Length == 0)
        {
            return upTimes;
        }

        var form = input.ReadByte();
        var unit = (form & 1) == 1 ? 1 : TicksPerCentisecond;
        NumberColumn.Read(ref input, numbers);
        var next = 0;
        for (var i = 0; i < upTimes.Length; i++)
        {
            if (isThere[i] == 1)
            {
                var number = numbers[next++] + ((form & 2) == 2 ? times[i] / unit : 0);
                upTimes[i] = TimeSpan.FromTicks(unchecked(number * unit));
            }
        }

        return upTimes;
    }

    private static void WriteNames(ArrayBufferWriter<byte> output, ReadOnlySpan<long> names)
    {
        var (distinct, numbers) = (new List<long>(), new int[names.Length]);
        for (var i = 0; i < names.Length; i++)
        {
            numbers[i] = distinct.IndexOf(names[i]);
            if (numbers[i] < 0)
            {
                numbers[i] = distinct.Count;
                distinct.Add(names[i]);
            }
        }

        output.WriteVarint((ulong)distinct.Count);
        foreach (var id in distinct)
        {
            output.WriteVarint(checked((ulong)id));
        }

        if (distinct.Count > 1)
        {
            Stretches.Write(output, numbers);
        }
    }

    private static void ReadNames(ref PackedReader input, Span<long> names)
    {
        var distinct = new long[input.ReadCount("names", 1)];
        for (var i = 0; i < distinct.Length; i++)
        {
            distinct[i] = input.ReadLong("names");
        }

        var numbers = new int[names.Length];
        if (distinct.Length == 0)
        {
            throw new InvalidDataException("no names are said");
        }

        if (distinct.Length > 1)
        {
            Stretches.Read(ref input, numbers, distinct.Length, "names");
        }

        for (var i = 0; i < names.Length; i++)
        {
            names[i] = distinct[numbers[i]];
        }
    }
}

/// <summary>What <see cref="BlockTail"/> read, one item a poll.</summary>
internal readonly record struct Tail(long[] Sequences, TimeSpan?[] UpTimes, long[] NamesIds, string[] Details);
