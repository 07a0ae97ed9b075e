using System.Buffers;
using System.Buffers.Binary;
using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>
/// Packs the polls of one element and hour by columns, and back, the same bytes in every store. Everything that the history keeps of a poll comes
/// back exactly. A reader of single ports decodes their columns only. Pure and thread safe.
/// </summary>
/// <remarks>
/// Version 1: version byte; times, outcomes, which ports each poll has; tags; directory with the length of each column; columns of ports and groups;
/// sequences, up-times, names, texts; CRC-32C over the row's columns and all bytes before it. docs/storage.md has the layout byte by byte.
/// </remarks>
public static class BlockCodec
{
    /// <summary>The newest version that is written. All versions ever released are read.</summary>
    public const byte Version = 1;

    private const int CheckSumLength = 4;

    /// <summary>Packs polls for the row that the block will stand in.</summary>
    /// <param name="row">Columns beside the payload.</param>
    /// <param name="polls">At least one; all of that element and hour, in time order, no two in one microsecond.</param>
    /// <exception cref="ArgumentException">The polls are not such: a bug of the caller.</exception>
    public static byte[] Encode(in BlockRow row, ReadOnlySpan<BlockPoll> polls)
    {
        var before = long.MinValue;
        foreach (var (reading, _) in polls)
        {
            var at = StoreTime.ToMicroseconds(reading.At);
            if (reading.PseId != row.PseId || BlockRow.HourOf(at) != row.HourMicroseconds || at <= before)
            {
                throw new ArgumentException($"The poll of '{reading.PseId}' at {reading.At:O} does not follow in block {row}.", nameof(polls));
            }

            before = at;
        }

        if (before == long.MinValue)
        {
            throw new ArgumentException("A block needs a poll.", nameof(polls));
        }

        var output = new ArrayBufferWriter<byte>(4096);
        output.WriteByte(Version);
        new BlockWriter().Write(output, row, polls);
        var crc = CheckSum.Of(output.WrittenSpan, row.CheckSumSeed());
        BinaryPrimitives.WriteUInt32LittleEndian(output.GetSpan(CheckSumLength), crc);
        output.Advance(CheckSumLength);
        return output.WrittenSpan.ToArray();
    }

    /// <summary>Unpacks all polls, in time order, without their interface names.</summary>
    /// <exception cref="StoreException">The row or the bytes are damaged, or a newer version wrote them. No number is given then.</exception>
    public static BlockPoll[] Decode(in BlockRow row, ReadOnlySpan<byte> payload)
    {
        try
        {
            return DecodeBody(row, Body(row, payload));
        }
        catch (Exception e) when (IsDamage(e))
        {
            throw Unreadable(row, e);
        }
    }

    /// <summary>Unpacks when its polls were, in microseconds, and nothing else.</summary>
    /// <exception cref="StoreException">As with <see cref="Decode"/>.</exception>
    public static long[] DecodeTimes(in BlockRow row, ReadOnlySpan<byte> payload)
    {
        try
        {
            var begin = row.HourMicroseconds;
            return Array.ConvertAll(new BlockReader(Body(row, payload)).Times, t => begin + (t / TimeSpan.TicksPerMicrosecond));
        }
        catch (Exception e) when (IsDamage(e))
        {
            throw Unreadable(row, e);
        }
    }

    /// <summary>Unpacks the columns of some ports only. Of a port that a poll names twice the first counts.</summary>
    /// <exception cref="StoreException">As with <see cref="Decode"/>.</exception>
    public static PortHistoryPage DecodePorts(in BlockRow row, ReadOnlySpan<byte> payload, IReadOnlyList<PsePortRef> ports)
    {
        try
        {
            var reader = new BlockReader(Body(row, payload));
            var begin = StoreTime.FromMicroseconds(row.HourMicroseconds);
            var polls = new PollMark[reader.Times.Length];
            for (var i = 0; i < polls.Length; i++)
            {
                polls[i] = new PollMark(begin.AddTicks(reader.Times[i]), (PollOutcome)reader.Outcomes[i]);
            }

            var samples = new ImmutableArray<PortSample>[ports.Count];
            for (var i = 0; i < samples.Length; i++)
            {
                samples[i] = ImmutableCollectionsMarshal.AsImmutableArray(Samples(ref reader, ports[i]));
            }

            return new PortHistoryPage(ImmutableCollectionsMarshal.AsImmutableArray(polls), ImmutableCollectionsMarshal.AsImmutableArray(samples));
        }
        catch (Exception e) when (IsDamage(e))
        {
            throw Unreadable(row, e);
        }
    }

    private static PortSample[] Samples(ref BlockReader reader, PsePortRef port)
    {
        var samples = new PortSample[reader.Times.Length];
        var entries = reader.PortEntries;
        var counts = BlockReader.Counts(reader.Ports, reader.PortShapes, entries.Length);
        for (var column = entries.Length - 1; column >= 0; column--)
        {
            if (entries[column].Port != port.Port || entries[column].Group != port.Group)
            {
                continue;
            }

            var cells = reader.ReadPort(column, counts[column]);
            var hasColumn = new bool[reader.Ports.Count];
            for (var shape = 0; shape < hasColumn.Length; shape++)
            {
                hasColumn[shape] = reader.Ports[shape].AsSpan().Contains(column);
            }

            var next = 0;
            for (var i = 0; i < samples.Length; i++)
            {
                if (hasColumn[reader.PortShapes[i]])
                {
                    var tag = cells.Tags[next];
                    samples[i] = new PortSample(true, cells.Powers[next++], PortTag.ProvenanceOf(tag), PortTag.State(tag));
                }
            }
        }

        return samples;
    }

    private static BlockPoll[] DecodeBody(in BlockRow row, ReadOnlySpan<byte> body)
    {
        var reader = new BlockReader(body);
        var tail = reader.ReadTail();
        var portCounts = BlockReader.Counts(reader.Ports, reader.PortShapes, reader.PortEntries.Length);
        var portCells = new PortCells[portCounts.Length];
        for (var column = 0; column < portCells.Length; column++)
        {
            portCells[column] = reader.ReadPort(column, portCounts[column]);
        }

        var groupCounts = BlockReader.Counts(reader.Groups, reader.GroupShapes, reader.GroupEntries.Length);
        var groupCells = new GroupReading[groupCounts.Length][];
        for (var column = 0; column < groupCells.Length; column++)
        {
            groupCells[column] = reader.ReadGroup(column, groupCounts[column]);
        }

        var begin = StoreTime.FromMicroseconds(row.HourMicroseconds);
        var (nextPort, nextGroup) = (new int[portCells.Length], new int[groupCells.Length]);
        var polls = new BlockPoll[reader.Times.Length];
        for (var i = 0; i < polls.Length; i++)
        {
            var shape = reader.Ports[reader.PortShapes[i]];
            var ports = new PortReading[shape.Length];
            for (var p = 0; p < shape.Length; p++)
            {
                var column = shape[p];
                ports[p] = Port(row.PseId, reader.PortEntries[column], portCells[column], nextPort[column]++);
            }

            var groups = Array.ConvertAll(reader.Groups[reader.GroupShapes[i]], column => groupCells[column][nextGroup[column]++]);
            var reading = new SwitchReading(
                row.PseId,
                tail.Sequences[i],
                begin.AddTicks(reader.Times[i]),
                (PollOutcome)reader.Outcomes[i],
                tail.Details[i],
                tail.UpTimes[i],
                ImmutableCollectionsMarshal.AsImmutableArray(ports),
                ImmutableCollectionsMarshal.AsImmutableArray(groups));
            polls[i] = new BlockPoll(reading, tail.NamesIds[i]);
        }

        return polls;
    }

    private static PortReading Port(string pseId, BlockReader.Entry entry, in PortCells cells, int at)
    {
        var tag = cells.Tags[at];
        var port = new PsePortRef(pseId, entry.Group, entry.Port);
        return new PortReading(port, PortTag.State(tag), cells.Powers[at], PortTag.ProvenanceOf(tag), PortTag.Class(tag))
        {
            Priority = PortTag.Priority(tag),
        };
    }

    private static ReadOnlySpan<byte> Body(in BlockRow row, ReadOnlySpan<byte> payload)
    {
        if (payload.Length <= CheckSumLength)
        {
            throw new InvalidDataException($"{payload.Length} bytes are too few");
        }

        if (payload[0] != Version)
        {
            throw new InvalidDataException($"its layout is version {payload[0]}, this software reads version {Version}: damaged, or written by newer software");
        }

        return CheckSum.Of(payload[..^CheckSumLength], row.CheckSumSeed()) == BinaryPrimitives.ReadUInt32LittleEndian(payload[^CheckSumLength..])
            ? payload[1..^CheckSumLength]
            : throw new InvalidDataException("its check sum is wrong, so the row is damaged");
    }

    private static bool IsDamage(Exception e) => e is InvalidDataException or OverflowException or ArgumentOutOfRangeException or IndexOutOfRangeException;

    private static StoreException Unreadable(in BlockRow row, Exception e) => new(
        $"The stored block {row.Part} of '{row.PseId}' for the hour from {StoreTime.FromMicroseconds(row.HourMicroseconds):O} cannot be read: {e.Message}. "
        + "Restore the store from a backup, or start with an empty data folder and keep this one for repair.",
        e);
}
