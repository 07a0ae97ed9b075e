using System.Buffers;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>
/// Packs small numbers that rarely change, by their changes: a number that never changes costs its own byte. Pure.
/// </summary>
/// <remarks>One stretch: its number shifted left by one. Several: their count shifted left by one with the low bit set, then each number with its length; the last has none.</remarks>
internal static class Stretches
{
    internal static void Write(ArrayBufferWriter<byte> output, ReadOnlySpan<int> numbers)
    {
        if (numbers.IsEmpty)
        {
            return;
        }

        var count = 1;
        for (var i = 1; i < numbers.Length; i++)
        {
            count += numbers[i] == numbers[i - 1] ? 0 : 1;
        }

        if (count == 1)
        {
            output.WriteVarint((ulong)numbers[0] << 1);
            return;
        }

        output.WriteVarint((ulong)count << 1 | 1);
        for (var begin = 0; begin < numbers.Length;)
        {
            var end = begin + 1;
            while (end < numbers.Length && numbers[end] == numbers[begin])
            {
                end++;
            }

            output.WriteVarint((ulong)numbers[begin]);
            if (end < numbers.Length)
            {
                output.WriteVarint((ulong)(end - begin));
            }

            begin = end;
        }
    }

    internal static void Read(ref PackedReader input, Span<int> numbers, int ceiling, string what)
    {
        if (numbers.IsEmpty)
        {
            return;
        }

        var head = input.ReadInt(what);
        if ((head & 1) == 0)
        {
            numbers.Fill(Checked(head >> 1, ceiling, what));
            return;
        }

        var done = 0;
        for (var left = head >> 1; left > 0; left--)
        {
            var number = Checked(input.ReadInt(what), ceiling, what);
            var length = left == 1 ? numbers.Length - done : input.ReadInt("length");
            if (length > numbers.Length - done)
            {
                throw new InvalidDataException($"{what} is said of too many polls");
            }

            numbers.Slice(done, length).Fill(number);
            done += length;
        }

        if (done != numbers.Length)
        {
            throw new InvalidDataException($"{what} is said of too few polls");
        }
    }

    private static int Checked(int number, int ceiling, string what) =>
        number < ceiling ? number : throw new InvalidDataException($"{what} {number} is not there");
}

/// <summary>Which ports (or groups) a poll has, in its order: a list of column numbers. A block knows each such list once.</summary>
internal sealed class Shapes
{
    private readonly List<int[]> _lists = [];

    internal int Count => _lists.Count;

    internal int[] this[int number] => _lists[number];

    /// <summary>The number of a list, a new one where it is not known yet.</summary>
    internal int NumberOf(ReadOnlySpan<int> list)
    {
        for (var i = _lists.Count - 1; i >= 0; i--)
        {
            if (list.SequenceEqual(_lists[i]))
            {
                return i;
            }
        }

        _lists.Add(list.ToArray());
        return _lists.Count - 1;
    }

    /// <summary>Each list as its length and the stretches of following numbers in it; then which poll has which, unless there is one only.</summary>
    internal void Write(ArrayBufferWriter<byte> output, ReadOnlySpan<int> ofPolls)
    {
        output.WriteVarint((ulong)_lists.Count);
        foreach (var list in _lists)
        {
            output.WriteVarint((ulong)list.Length);
            for (var begin = 0; begin < list.Length;)
            {
                var end = begin + 1;
                while (end < list.Length && list[end] == list[end - 1] + 1)
                {
                    end++;
                }

                output.WriteVarint((ulong)list[begin]);
                output.WriteVarint((ulong)(end - begin));
                begin = end;
            }
        }

        if (_lists.Count > 1)
        {
            Stretches.Write(output, ofPolls);
        }
    }

    internal static Shapes Read(ref PackedReader input, Span<int> ofPolls)
    {
        var shapes = new Shapes();
        var count = input.ReadCount("shapes", 1);
        for (var i = 0; i < count; i++)
        {
            var list = new int[input.ReadInt("columns of a shape") is var length and <= ushort.MaxValue
                ? length
                : throw new InvalidDataException("a poll has too many ports")];
            for (var done = 0; done < list.Length;)
            {
                var begin = input.ReadInt("column");
                var end = done + Math.Min(input.ReadInt("columns"), list.Length);
                if (end > list.Length || end == done)
                {
                    throw new InvalidDataException("the columns of a shape do not fit it");
                }

                for (; done < end; done++)
                {
                    list[done] = begin++;
                }
            }

            shapes._lists.Add(list);
        }

        if (count > 1)
        {
            Stretches.Read(ref input, ofPolls, count, "shape");
        }
        else if (count == 0)
        {
            throw new InvalidDataException("there is no shape");
        }

        return shapes;
    }
}
