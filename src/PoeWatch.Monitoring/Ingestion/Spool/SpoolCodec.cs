using System.Buffers;
using System.Buffers.Binary;
using System.Collections.Immutable;
using System.Text;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Monitoring.Ingestion.Spool;

/// <summary>
/// Batches of polls as frames of a file: length, check sum, then the polls with all that the history keeps of them. Pure.
/// </summary>
/// <remarks>Four bytes length and four bytes CRC-32C of what follows, low byte first; version; count; each poll's element, time, outcome, text, names, payload and changes.</remarks>
internal static class SpoolCodec
{
    internal const int HeadLength = 8;

    // More than any batch takes: a larger length is no length.
    private const int FrameMax = 1 << 28;
    private const byte Version = 1;

    internal static byte[] Encode(IReadOnlyList<SwitchReading> readings)
    {
        var output = new ArrayBufferWriter<byte>(256 + (readings.Count * 256));
        output.GetSpan(HeadLength)[..HeadLength].Clear();
        output.Advance(HeadLength);
        output.WriteByte(Version);
        output.WriteVarint((ulong)readings.Count);
        foreach (SwitchReading reading in readings)
        {
            PollRow row = PollRow.Of(reading, 0);
            WriteBytes(output, Encoding.UTF8.GetBytes(row.PseId));
            output.WriteVarint(unchecked((ulong)row.AtMicroseconds));
            output.WriteByte((byte)row.Outcome);
            WriteBytes(output, Encoding.UTF8.GetBytes(row.Detail));
            WriteBytes(output, reading.InterfaceNames.IsEmpty ? [] : InterfaceNamesCodec.Encode(reading.InterfaceNames));
            WriteBytes(output, SwitchReadingCodec.Encode(reading, row));
            output.WriteVarint((ulong)reading.Changes.Length);
            foreach (AgentChange change in reading.Changes)
            {
                output.WriteByte((byte)change.Kind);
                WriteBytes(output, Encoding.UTF8.GetBytes(change.Text));
            }
        }

        var frame = output.WrittenSpan.ToArray();
        BinaryPrimitives.WriteInt32LittleEndian(frame, frame.Length - HeadLength);
        BinaryPrimitives.WriteUInt32LittleEndian(frame.AsSpan(4), CheckSum.Of(frame.AsSpan(HeadLength), uint.MaxValue));
        return frame;
    }

    /// <summary>Length of the frame that begins here, its head included; null where it is not whole: the file ends in it.</summary>
    internal static int? FrameLength(ReadOnlySpan<byte> rest)
    {
        if (rest.Length < HeadLength)
        {
            return null;
        }

        var length = BinaryPrimitives.ReadInt32LittleEndian(rest);
        return length is > 0 and < FrameMax && length <= rest.Length - HeadLength ? length + HeadLength : null;
    }

    internal static bool IsSound(ReadOnlySpan<byte> frame) =>
        CheckSum.Of(frame[HeadLength..], uint.MaxValue) == BinaryPrimitives.ReadUInt32LittleEndian(frame[4..]);

    /// <summary>True where a whole and sound frame begins here.</summary>
    internal static bool BeginsSound(ReadOnlySpan<byte> rest) =>
        FrameLength(rest) is { } length && rest[HeadLength] == Version && IsSound(rest[..length]);

    /// <summary>Polls in a sound frame.</summary>
    internal static int Count(ReadOnlySpan<byte> frame)
    {
        var input = new PackedReader(frame[(HeadLength + 1)..]);
        return input.ReadInt("polls");
    }

    /// <exception cref="StoreException">Newer software wrote it, or it is damaged in a way that its check sum does not show.</exception>
    internal static List<SwitchReading> Decode(ReadOnlySpan<byte> frame)
    {
        try
        {
            var input = new PackedReader(frame[HeadLength..]);
            if (input.ReadByte() is var version and not Version)
            {
                throw new InvalidDataException($"its layout is version {version}, this software reads version {Version}");
            }

            var count = input.ReadCount("polls", 6);
            var readings = new List<SwitchReading>(count);
            for (var i = 0; i < count; i++)
            {
                var pseId = Encoding.UTF8.GetString(ReadBytes(ref input));
                var at = unchecked((long)input.ReadVarint());
                var row = new PollRow(pseId, at, (PollOutcome)input.ReadByte(), Encoding.UTF8.GetString(ReadBytes(ref input)), 0);
                ReadOnlySpan<byte> names = ReadBytes(ref input);
                SwitchReading reading = SwitchReadingCodec.Decode(
                    row,
                    ReadBytes(ref input),
                    names.IsEmpty ? ImmutableDictionary<PsePortRef, string>.Empty : InterfaceNamesCodec.Decode(names, InterfaceNamesCodec.Hash(names), pseId));
                var changes = new AgentChange[input.ReadCount("changes", 2)];
                for (var c = 0; c < changes.Length; c++)
                {
                    changes[c] = new AgentChange((AgentChangeKind)input.ReadByte(), Encoding.UTF8.GetString(ReadBytes(ref input)));
                }

                readings.Add(reading with { Changes = [.. changes] });
            }

            return readings;
        }
        catch (InvalidDataException e)
        {
            throw new StoreException($"A frame of the spool cannot be read: {e.Message}.", e);
        }
    }

    private static void WriteBytes(ArrayBufferWriter<byte> output, ReadOnlySpan<byte> bytes)
    {
        output.WriteVarint((ulong)bytes.Length);
        output.Write(bytes);
    }

    private static ReadOnlySpan<byte> ReadBytes(ref PackedReader input) => input.ReadBytes(input.ReadInt("length"));
}
