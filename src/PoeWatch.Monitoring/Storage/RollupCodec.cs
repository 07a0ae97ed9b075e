using System.Buffers;
using System.Buffers.Binary;
using System.IO.Compression;
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
/// Packs the intervals of a block, the same bytes in every store. Powers come back to the milliwatt, energies to 10 µWh, known times to the millisecond,
/// and an interval that is covered whole stays so. Pure and thread safe.
/// </summary>
/// <remarks>
/// Version byte; length of the body; the body, compressed with Brotli (RFC 7932); CRC-32C over subject, step, bounds and all before it. The body: count of
/// lines; each line group, port, length, and its columns, see <see cref="RollupLinePacker"/>.
/// </remarks>
public static class RollupCodec
{
    private const byte Version = 1;
    private const int CheckSumLength = 4;
    private const int BrotliQuality = 5;
    private const int BrotliWindow = 18;

    // A year of misuse: a block is a day of some hundred ports.
    private const int BodyMax = 64 * 1024 * 1024;

    public static RollupBlock Encode(
        RollupSubject subject, RollupStep step, DateTimeOffset start, DateTimeOffset end, IReadOnlyCollection<RollupLine> lines)
    {
        var body = new ArrayBufferWriter<byte>(4096);
        body.WriteVarint((ulong)lines.Count);
        foreach (var line in lines)
        {
            var columns = RollupLinePacker.Pack(line);
            body.WriteVarint(checked((ulong)line.Group));
            body.WriteVarint(checked((ulong)line.Port));
            body.WriteVarint((ulong)columns.WrittenCount);
            body.Write(columns.WrittenSpan);
        }

        var output = new ArrayBufferWriter<byte>(64 + body.WrittenCount);
        output.WriteVarint(Version);
        output.WriteVarint((ulong)body.WrittenCount);
        var span = output.GetSpan(BrotliEncoder.GetMaxCompressedLength(body.WrittenCount));
        if (!BrotliEncoder.TryCompress(body.WrittenSpan, span, out var written, BrotliQuality, BrotliWindow))
        {
            throw new InvalidOperationException($"{body.WrittenCount} bytes of rollups could not be compressed.");
        }

        output.Advance(written);
        var block = new RollupBlock(subject, step, start, end, default);
        BinaryPrimitives.WriteUInt32LittleEndian(output.GetSpan(CheckSumLength), CheckSum.Of(output.WrittenSpan, SeedOf(block)));
        output.Advance(CheckSumLength);
        return block with { Payload = output.WrittenMemory };
    }

    /// <summary>All lines of a block.</summary>
    /// <exception cref="StoreException">The row or the bytes are damaged, or a newer version wrote them. No number is given then.</exception>
    public static IReadOnlyList<RollupLine> Decode(RollupBlock block) => Decode(block, static (_, _) => true);

    /// <summary>One line of a block; null where it has none. The others are passed over unread.</summary>
    /// <exception cref="StoreException">The row or the bytes are damaged, or a newer version wrote them. No number is given then.</exception>
    public static RollupLine? Decode(RollupBlock block, int group, int port) => Decode(block, (g, p) => g == group && p == port).FirstOrDefault();

    private static List<RollupLine> Decode(RollupBlock block, Func<int, int, bool> wanted)
    {
        try
        {
            return DecodeChecked(block, wanted);
        }
        catch (Exception e) when (e is InvalidDataException or OverflowException or ArgumentException)
        {
            throw new StoreException(
                $"The stored rollups of {block.Subject} from {block.Start:O} on cannot be read: {e.Message}. Restore the store from a backup; as long as the "
                + "readings of that time are there, rollups can also be made again.",
                e);
        }
    }

    private static List<RollupLine> DecodeChecked(RollupBlock block, Func<int, int, bool> wanted)
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

        var input = new PackedReader(packed[1..]);
        var length = input.ReadInt("length");
        ArgumentOutOfRangeException.ThrowIfGreaterThan(length, BodyMax);
        var body = ArrayPool<byte>.Shared.Rent(length);
        try
        {
            return BrotliDecoder.TryDecompress(input.ReadBytes(input.Remaining), body.AsSpan(0, length), out var written) && written == length
                ? Lines(block, body.AsSpan(0, length), wanted)
                : throw new InvalidDataException("its bytes cannot be expanded");
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(body);
        }
    }

    private static List<RollupLine> Lines(RollupBlock block, ReadOnlySpan<byte> body, Func<int, int, bool> wanted)
    {
        var bounds = block.Step.Bounds(block.Start, block.End);
        var input = new PackedReader(body);
        var count = input.ReadCount("lines", 3);
        var lines = new List<RollupLine>();
        for (var i = 0; i < count; i++)
        {
            var (group, port) = (input.ReadInt("group"), input.ReadInt("port"));
            var columns = input.ReadBytes(input.ReadInt("length"));
            if (wanted(group, port))
            {
                lines.Add(RollupLinePacker.Unpack(group, port, columns, bounds));
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
