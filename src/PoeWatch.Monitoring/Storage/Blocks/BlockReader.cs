using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>Reads the parts of a block's body that its check sum has found sound: the head at once, columns as they are asked for.</summary>
internal ref struct BlockReader
{
    private const int MaxPolls = 1 << 16;

    private readonly long _unit;
    private readonly int[] _tags;
    private readonly int[][] _patterns;
    private readonly int[] _patternOfColumns;
    private readonly Entry[] _portEntries;
    private readonly Entry[] _groupEntries;
    private readonly ReadOnlySpan<byte> _columns;
    private readonly ReadOnlySpan<byte> _tail;

    internal BlockReader(ReadOnlySpan<byte> body)
    {
        var input = new PackedReader(body);
        var count = input.ReadInt("polls");
        if (count is 0 or > MaxPolls)
        {
            throw new InvalidDataException($"{count} polls cannot be");
        }

        Times = new long[count];
        NumberColumn.Read(ref input, Times);
        Outcomes = new int[count];
        Stretches.Read(ref input, Outcomes, (int)PollOutcome.NoPoe + 1, "outcome");
        PortShapes = new int[count];
        Ports = Shapes.Read(ref input, PortShapes);
        GroupShapes = new int[count];
        Groups = Shapes.Read(ref input, GroupShapes);
        _unit = input.ReadLong("unit");
        _tags = new int[input.ReadCount("tags", 1)];
        for (var i = 0; i < _tags.Length; i++)
        {
            _tags[i] = input.ReadInt("tag");
        }

        _patterns = new int[input.ReadCount("patterns", 1)][];
        for (var i = 0; i < _patterns.Length; i++)
        {
            var polls = input.ReadInt("polls of a pattern");
            _patterns[i] = polls <= MaxPolls ? new int[polls] : throw new InvalidDataException($"a pattern of {polls} polls cannot be");
            Stretches.Read(ref input, _patterns[i], _tags.Length, "tag");
        }

        _patternOfColumns = new int[_patterns.Length == 0 ? 0 : CountColumns(Ports)];
        Stretches.Read(ref input, _patternOfColumns, _patterns.Length, "pattern");
        var length = 0;
        _portEntries = ReadDirectory(ref input, ref length);
        if (_portEntries.Length != _patternOfColumns.Length)
        {
            throw new InvalidDataException("columns and their patterns differ in number");
        }

        _groupEntries = ReadDirectory(ref input, ref length);
        _columns = input.ReadBytes(length);
        _tail = input.Rest;
    }

    /// <summary>Ticks since the begin of the hour, rising.</summary>
    internal long[] Times { get; }

    internal int[] Outcomes { get; }

    internal Shapes Ports { get; }

    internal Shapes Groups { get; }

    internal int[] PortShapes { get; }

    internal int[] GroupShapes { get; }

    internal readonly ReadOnlySpan<Entry> PortEntries => _portEntries;

    internal readonly ReadOnlySpan<Entry> GroupEntries => _groupEntries;

    internal readonly Tail ReadTail()
    {
        var input = new PackedReader(_tail);
        var tail = BlockTail.Read(ref input, Times);
        return input.Remaining == 0 ? tail : throw new InvalidDataException($"{input.Remaining} bytes too many");
    }

    /// <summary>How often each column comes up in the polls.</summary>
    internal static int[] Counts(Shapes shapes, ReadOnlySpan<int> ofPolls, int columns)
    {
        var polls = new int[shapes.Count];
        foreach (var shape in ofPolls)
        {
            polls[shape]++;
        }

        var counts = new int[columns];
        for (var shape = 0; shape < shapes.Count; shape++)
        {
            foreach (var column in shapes[shape])
            {
                if ((uint)column >= (uint)columns)
                {
                    throw new InvalidDataException($"column {column} is not there");
                }

                counts[column] += polls[shape];
            }
        }

        return counts;
    }

    /// <summary>Tags and watts of one port, one item for each poll that has it.</summary>
    internal readonly PortCells ReadPort(int column, int count)
    {
        var input = new PackedReader(_columns.Slice(_portEntries[column].Begin, _portEntries[column].Length));
        var pattern = _patterns[_patternOfColumns[column]];
        if (pattern.Length != count)
        {
            throw new InvalidDataException("a column has more or fewer tags than polls");
        }

        var tags = new int[count];
        for (var i = 0; i < count; i++)
        {
            tags[i] = i > 0 && pattern[i] == pattern[i - 1] ? tags[i - 1] : PortTag.Checked(_tags[pattern[i]], PortTag.Ceiling);
        }

        var numbers = ReadNumbers(ref input, tags, PortTag.Power);
        foreach (ref var number in numbers.AsSpan())
        {
            number = unchecked(number * _unit);
        }

        return Whole(input, new PortCells(tags, Powers(tags, numbers, PortTag.Power)));
    }

    internal readonly GroupReading[] ReadGroup(int column, int count)
    {
        var entry = _groupEntries[column];
        var input = new PackedReader(_columns.Slice(entry.Begin, entry.Length));
        var tags = ReadTags(ref input, count);
        var budgets = Powers(tags, ReadNumbers(ref input, tags, GroupTag.Budget), GroupTag.Budget);
        var draws = Powers(tags, ReadNumbers(ref input, tags, GroupTag.Draw), GroupTag.Draw);
        var groups = new GroupReading[count];
        for (var i = 0; i < count; i++)
        {
            groups[i] = new GroupReading(entry.Group, budgets[i], draws[i], PortTag.CheckedProvenance(tags[i] & 0xF), GroupTag.IsOn(tags[i]));
        }

        return Whole(input, groups);
    }

    // Every column belongs to a shape, else nothing would be in it.
    private static int CountColumns(Shapes shapes)
    {
        var most = -1;
        for (var i = 0; i < shapes.Count; i++)
        {
            foreach (var column in shapes[i])
            {
                most = Math.Max(most, column);
            }
        }

        return most < ushort.MaxValue ? most + 1 : throw new InvalidDataException($"column {most} is too many");
    }

    private readonly int[] ReadTags(ref PackedReader input, int count)
    {
        var tags = new int[count];
        Stretches.Read(ref input, tags, _tags.Length, "tag");
        for (var i = 0; i < count; i++)
        {
            tags[i] = _tags[tags[i]];
        }

        return tags;
    }

    private static long[] ReadNumbers(ref PackedReader input, int[] tags, Func<int, PowerKind> kind)
    {
        var count = 0;
        foreach (var tag in tags)
        {
            count += kind(tag) == PowerKind.Positive ? 1 : 0;
        }

        var numbers = new long[count];
        NumberColumn.Read(ref input, numbers);
        return numbers;
    }

    private static Power?[] Powers(int[] tags, long[] numbers, Func<int, PowerKind> kind)
    {
        var powers = new Power?[tags.Length];
        var next = 0;
        for (var i = 0; i < tags.Length; i++)
        {
            powers[i] = kind(tags[i]) switch
            {
                PowerKind.Null => null,
                PowerKind.Zero => Power.Zero,
                PowerKind.Positive => Power.FromMilliwatts(numbers[next++]),
                _ => throw new InvalidDataException("a sign stands in a tag"),
            };
        }

        return powers;
    }

    private static T Whole<T>(PackedReader input, T cells) =>
        input.Remaining == 0 ? cells : throw new InvalidDataException($"a column has {input.Remaining} bytes too many");

    private static Entry[] ReadDirectory(ref PackedReader input, ref int begin)
    {
        var entries = new Entry[input.ReadCount("columns", 1)];
        var (group, port) = (1, 0);
        for (var i = 0; i < entries.Length; i++)
        {
            var head = input.ReadInt("length");
            (group, port) = (head & 1) == 0 ? (group, checked(port + 1)) : (input.ReadInt("group"), input.ReadInt("port"));
            entries[i] = new Entry(group, port, begin, head >> 1);
            begin = checked(begin + (head >> 1));
        }

        return entries;
    }

    /// <summary>Whose column it is and where it stands.</summary>
    internal readonly record struct Entry(int Group, int Port, int Begin, int Length);
}

/// <summary>One port's tags and watts.</summary>
internal readonly record struct PortCells(int[] Tags, Power?[] Powers);
