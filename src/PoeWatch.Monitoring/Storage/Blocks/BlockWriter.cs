using System.Buffers;
using System.Runtime.InteropServices;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>Turns polls into the columns of one block and writes them. For one block only.</summary>
internal sealed class BlockWriter
{
    private readonly List<Column> _ports = [];
    private readonly List<Column> _groups = [];
    private readonly Dictionary<(int Group, int Port, int Again), int> _portNumbers = [];
    private readonly Dictionary<(int Group, int Port, int Again), int> _groupNumbers = [];
    private readonly Dictionary<int, int> _tagNumbers = [];
    private readonly List<int> _tags = [];

    /// <summary>Writes everything but the check sum.</summary>
    internal void Write(ArrayBufferWriter<byte> output, in BlockRow row, ReadOnlySpan<BlockPoll> polls)
    {
        var times = new long[polls.Length];
        var (outcomes, portShapes, groupShapes) = (new int[polls.Length], new int[polls.Length], new int[polls.Length]);
        var (shapesOfPorts, shapesOfGroups) = (new Shapes(), new Shapes());
        var begin = StoreTime.FromMicroseconds(row.HourMicroseconds).UtcTicks;
        for (var i = 0; i < polls.Length; i++)
        {
            var reading = polls[i].Reading;
            times[i] = reading.At.UtcTicks - begin;
            outcomes[i] = (int)reading.Outcome;
            portShapes[i] = TakePorts(reading, shapesOfPorts, i == 0 ? [] : shapesOfPorts[portShapes[i - 1]]);
            groupShapes[i] = TakeGroups(reading, shapesOfGroups);
        }

        output.WriteVarint((ulong)polls.Length);
        NumberColumn.Write(output, times);
        Stretches.Write(output, outcomes);
        shapesOfPorts.Write(output, portShapes);
        shapesOfGroups.Write(output, groupShapes);
        WriteColumns(output);
        BlockTail.Write(output, polls, times);
    }

    private int TakePorts(SwitchReading reading, Shapes shapes, int[] before)
    {
        var ports = reading.Ports;
        var shape = new int[ports.Length];
        var isAsBefore = before.Length == shape.Length;
        for (var i = 0; i < shape.Length; i++)
        {
            var port = ports[i];
            if (port.Port.PseId != reading.PseId)
            {
                throw new ArgumentException($"A poll of '{reading.PseId}' holds a reading of port {port.Port}.", nameof(reading));
            }

            // As a rule the ports are those of the poll before: then no port is looked up.
            shape[i] = isAsBefore && _ports[before[i]] is var same && same.Group == port.Port.Group && same.Port == port.Port.Port
                ? before[i]
                : NumberOf(_ports, _portNumbers, shape.AsSpan(0, i), port.Port.Group, port.Port.Port);
            var milliwatts = port.DrawAtPse?.Milliwatts;
            _ports[shape[i]].Add(PortTag.With(PortTag.Of(port, follows: false), KindOf(milliwatts)), milliwatts);
        }

        return shapes.NumberOf(shape);
    }

    private int TakeGroups(SwitchReading reading, Shapes shapes)
    {
        var shape = new int[reading.Groups.Length];
        for (var i = 0; i < shape.Length; i++)
        {
            var group = reading.Groups[i];
            shape[i] = NumberOf(_groups, _groupNumbers, shape.AsSpan(0, i), group.Group, 0);
            var column = _groups[shape[i]];
            column.Tags.Add(GroupTag.Of(group, KindOf(group.Budget?.Milliwatts), KindOf(group.DrawAtPse?.Milliwatts)));
            AddNumber(column.Numbers, group.Budget);
            AddNumber(column.Draws, group.DrawAtPse);
        }

        return shapes.NumberOf(shape);
    }

    // A poll that names a port twice keeps both: the second has a column of its own.
    private static int NumberOf(
        List<Column> columns, Dictionary<(int Group, int Port, int Again), int> numbers, ReadOnlySpan<int> taken, int group, int port)
    {
        for (var again = 0; ; again++)
        {
            if (!numbers.TryGetValue((group, port, again), out var number))
            {
                number = columns.Count;
                columns.Add(new Column(group, port));
                numbers.Add((group, port, again), number);
                return number;
            }

            if (!taken.Contains(number))
            {
                return number;
            }
        }
    }

    private void WriteColumns(ArrayBufferWriter<byte> output)
    {
        var unit = DivideByUnit();
        var patterns = new Shapes();
        var ofColumns = new int[_ports.Count];
        var bytes = new ArrayBufferWriter<byte>(4096);
        var lengths = new List<int>(_ports.Count + _groups.Count);
        for (var i = 0; i < _ports.Count; i++)
        {
            var before = bytes.WrittenCount;
            ofColumns[i] = patterns.NumberOf(TagNumbers(_ports[i].Tags));
            NumberColumn.Write(bytes, CollectionsMarshal.AsSpan(_ports[i].Numbers));
            lengths.Add(bytes.WrittenCount - before);
        }

        foreach (var column in _groups)
        {
            var before = bytes.WrittenCount;
            Stretches.Write(bytes, TagNumbers(column.Tags));
            NumberColumn.Write(bytes, CollectionsMarshal.AsSpan(column.Numbers));
            NumberColumn.Write(bytes, CollectionsMarshal.AsSpan(column.Draws));
            lengths.Add(bytes.WrittenCount - before);
        }

        output.WriteVarint((ulong)unit);
        output.WriteVarint((ulong)_tags.Count);
        foreach (var tag in _tags)
        {
            output.WriteVarint((ulong)tag);
        }

        output.WriteVarint((ulong)patterns.Count);
        for (var i = 0; i < patterns.Count; i++)
        {
            output.WriteVarint((ulong)patterns[i].Length);
            Stretches.Write(output, patterns[i]);
        }

        Stretches.Write(output, ofColumns);
        WriteDirectory(output, _ports, lengths);
        WriteDirectory(output, _groups, lengths[_ports.Count..]);
        output.Write(bytes.WrittenSpan);
    }

    // Agents that step by 100 mW do so at every port: what all watts of the block have in common is said once.
    private long DivideByUnit()
    {
        var unit = 0L;
        foreach (var column in _ports)
        {
            column.SettleZeros();
            foreach (var number in column.Numbers)
            {
                unit = unit == 1 || number == long.MinValue ? 1 : CommonDivisor(Math.Abs(number), unit);
            }
        }

        unit = Math.Max(1, unit);
        foreach (var column in unit == 1 ? [] : _ports)
        {
            foreach (ref var number in CollectionsMarshal.AsSpan(column.Numbers))
            {
                number /= unit;
            }
        }

        return unit;
    }

    private static long CommonDivisor(long a, long b)
    {
        while (b != 0)
        {
            (a, b) = (b, a % b);
        }

        return a;
    }

    // The length of each column comes first, so that a reader of one port passes over the others.
    private static void WriteDirectory(ArrayBufferWriter<byte> output, List<Column> columns, List<int> lengths)
    {
        output.WriteVarint((ulong)columns.Count);
        var (group, port) = (1, 0);
        for (var i = 0; i < columns.Count; i++)
        {
            var follows = columns[i].Group == group && columns[i].Port == port + 1;
            (group, port) = (columns[i].Group, columns[i].Port);
            output.WriteVarint((ulong)lengths[i] << 1 | (follows ? 0UL : 1));
            if (!follows)
            {
                output.WriteVarint(checked((ulong)group));
                output.WriteVarint(checked((ulong)port));
            }
        }
    }

    private int[] TagNumbers(List<int> tags)
    {
        var numbers = new int[tags.Count];
        for (var i = 0; i < numbers.Length; i++)
        {
            if (i > 0 && tags[i] == tags[i - 1])
            {
                numbers[i] = numbers[i - 1];
            }
            else if (!_tagNumbers.TryGetValue(tags[i], out numbers[i]))
            {
                numbers[i] = _tags.Count;
                _tagNumbers.Add(tags[i], numbers[i]);
                _tags.Add(tags[i]);
            }
        }

        return numbers;
    }

    // In a block the sign is the number's own: positive stands for any number that is written.
    private static PowerKind KindOf(long? milliwatts) => milliwatts switch
    {
        null => PowerKind.Null,
        0 => PowerKind.Zero,
        _ => PowerKind.Positive,
    };

    private static void AddNumber(List<long> numbers, Power? power)
    {
        if (power?.Milliwatts is { } milliwatts and not 0)
        {
            numbers.Add(milliwatts);
        }
    }

    private sealed class Column(int group, int port)
    {
        internal int Group => group;

        internal int Port => port;

        internal List<int> Tags { get; } = new(64);

        /// <summary>Milliwatts of a port; budget of a group.</summary>
        internal List<long> Numbers { get; } = new(64);

        internal List<long> Draws { get; } = [];

        internal void Add(int tag, long? milliwatts)
        {
            Tags.Add(tag);
            if (milliwatts is { } number)
            {
                Numbers.Add(number);
            }
        }

        /// <summary>
        /// Zeros stand in the tag where a port is off, and among the numbers where a port flickers about zero: else each flicker were a change of tag.
        /// </summary>
        internal void SettleZeros()
        {
            if (!Numbers.Contains(0))
            {
                return;
            }

            var flickering = Tags.Where(tag => PortTag.Power(tag) == PowerKind.Positive).ToHashSet();
            var (kept, number) = (0, 0);
            for (var i = 0; i < Tags.Count; i++)
            {
                var kind = PortTag.Power(Tags[i]);
                if (kind == PowerKind.Null)
                {
                    continue;
                }

                var milliwatts = Numbers[number++];
                if (kind == PowerKind.Zero && flickering.Contains(PortTag.With(Tags[i], PowerKind.Positive)))
                {
                    Tags[i] = PortTag.With(Tags[i], PowerKind.Positive);
                    kind = PowerKind.Positive;
                }

                if (kind == PowerKind.Positive)
                {
                    Numbers[kept++] = milliwatts;
                }
            }

            Numbers.RemoveRange(kept, Numbers.Count - kept);
        }
    }
}
