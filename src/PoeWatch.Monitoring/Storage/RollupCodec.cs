using System.Buffers;
using System.Buffers.Binary;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage;

/// <summary>One place in a block of rollups.</summary>
/// <param name="Group">RFC 3621 group of a port; 0 for a sum.</param>
/// <param name="Port">Number of a port; 0 for a sum.</param>
/// <param name="Intervals">One for each interval of the block, gaps included.</param>
/// <param name="Histogram">Of a port's day; else null.</param>
public sealed record RollupLine(int Group, int Port, IReadOnlyList<DrawRollup> Intervals, DrawHistogram? Histogram);

/// <summary>
/// Packs the intervals of a block, the same bytes in every store. Powers come back to the milliwatt, energies to 0.1 mWh, known times to the millisecond,
/// and an interval that is covered whole stays so. Pure and thread safe.
/// </summary>
/// <remarks>
/// Version byte; count of lines; each line group, port, length, and its columns, see <see cref="RollupLinePacker"/>; CRC-32C over subject, step, bounds and
/// all before it.
/// </remarks>
public static class RollupCodec
{
    private const byte Version = 1;
    private const int CheckSumLength = 4;
    public static RollupBlock Encode(
        RollupSubject subject, RollupStep step, DateTimeOffset start, DateTimeOffset end, IReadOnlyCollection<RollupLine> lines)
    {
        var output = new ArrayBufferWriter<byte>(4096);
        output.WriteVarint(Version);
        output.WriteVarint((ulong)lines.Count);
        foreach (var line in lines)
        {
            var columns = RollupLinePacker.Pack(line);
            output.WriteVarint(checked((ulong)line.Group));
            output.WriteVarint(checked((ulong)line.Port));
            output.WriteVarint((ulong)columns.WrittenCount);
            output.Write(columns.WrittenSpan);
        }

        var block = new RollupBlock(subject, step, start, end, default);
        BinaryPrimitives.WriteUInt32LittleEndian(output.GetSpan(CheckSumLength), CheckSum.Of(output.WrittenSpan, SeedOf(block)));
        output.Advance(CheckSumLength);
        return block with { Payload = output.WrittenMemory };
    }

    /// <summary>All lines of a block.</summary>
    /// <exception cref="StoreException">The row or the bytes are damaged, or a newer version wrote them. No number is given then.</exception>
    public static IReadOnlyList<RollupLine> Decode(RollupBlock block) => Decode(block, null, withHistogram: true);

    /// <summary>All lines of a block, their histograms passed over unread.</summary>
    /// <exception cref="StoreException">The row or the bytes are damaged, or a newer version wrote them. No number is given then.</exception>
    public static IReadOnlyList<RollupLine> DecodeWithoutHistograms(RollupBlock block) => Decode(block, null, withHistogram: false);

    /// <summary>One line of a block; null where it has none. The others are passed over unread.</summary>
    /// <exception cref="StoreException">The row or the bytes are damaged, or a newer version wrote them. No number is given then.</exception>
    public static RollupLine? Decode(RollupBlock block, int group, int port) =>
        Decode(block, (group, port), withHistogram: true).FirstOrDefault();

    private static List<RollupLine> Decode(RollupBlock block, (int Group, int Port)? only, bool withHistogram)
    {
        try
        {
            return DecodeChecked(block, only, withHistogram);
        }
        catch (Exception e) when (e is InvalidDataException or OverflowException or ArgumentException)
        {
            throw new StoreException(
                $"The stored rollups of {block.Subject} from {block.Start:O} on cannot be read: {e.Message}. Restore the store from a backup; as long as the "
                + "readings of that time are there, rollups can also be made again.",
                e);
        }
    }

    private static List<RollupLine> DecodeChecked(RollupBlock block, (int Group, int Port)? only, bool withHistogram)
    {
        var payload = block.Payload.Span;
        if (payload.Length <= CheckSumLength)
        {
            throw new InvalidDataException($"{payload.Length} bytes are too few");
        }

        if (payload[0] != Version)
        {
            throw new InvalidDataException($"its layout is version {payload[0]}, this software reads version {Version}: damaged, or written by newer software");
        }

        var packed = payload[..^CheckSumLength];
        if (CheckSum.Of(packed, SeedOf(block)) != BinaryPrimitives.ReadUInt32LittleEndian(payload[^CheckSumLength..]))
        {
            throw new InvalidDataException("its check sum is wrong, so the row is damaged");
        }

        var bounds = block.Step.Bounds(block.Start, block.End);
        var input = new PackedReader(packed[1..]);
        var count = input.ReadCount("lines", 3);
        var lines = new List<RollupLine>(only is null ? count : 1);
        for (var i = 0; i < count; i++)
        {
            var (group, port) = (input.ReadInt("group"), input.ReadInt("port"));
            var columns = input.ReadBytes(input.ReadInt("length"));
            if (only is null || only == (group, port))
            {
                lines.Add(RollupLinePacker.Unpack(group, port, columns, bounds, withHistogram));
            }
        }

        return lines;
    }

    private static uint SeedOf(RollupBlock block)
    {
        Span<byte> key = stackalloc byte[18];
        key[0] = (byte)block.Subject.Kind;
        key[1] = (byte)block.Step;
        BinaryPrimitives.WriteInt64LittleEndian(key[2..], StoreTime.ToMicroseconds(block.Start));
        BinaryPrimitives.WriteInt64LittleEndian(key[10..], StoreTime.ToMicroseconds(block.End));
        return CheckSum.Of(System.Text.Encoding.UTF8.GetBytes(block.Subject.Name), CheckSum.Of(key, uint.MaxValue));
    }
}
