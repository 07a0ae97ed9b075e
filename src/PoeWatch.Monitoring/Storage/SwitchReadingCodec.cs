using System.Buffers;
using System.Buffers.Binary;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage;

/// <summary>
/// Packs one finished poll into a few bytes a port and back, the same bytes in every store. Milliwatts, state, class, provenance and
/// priority come back exactly. Pure and thread safe.
/// </summary>
/// <remarks>
/// Version 1: version byte; sequence; up-time; ports; groups; CRC-32C over the row's columns and all bytes before it. Numbers are
/// variable-length. State, class, provenance and the kind of power (null, zero, sign) of a port make one tag; a tag is written in full
/// the first time and by its index afterwards, so that a port costs one byte and its milliwatts. docs/storage.md has the layout byte by byte.
/// Version 2 is the same with the configured priority in the tag; it is written only where a port has one.
/// </remarks>
public static class SwitchReadingCodec
{
    /// <summary>The newest version that is written. All versions ever released are read.</summary>
    public const byte Version = 2;

    private const byte VersionWithoutPriority = 1;

    private const int CheckSumLength = 4;
    private const long TicksPerCentisecond = TimeSpan.TicksPerMillisecond * 10;

    // Room of the thread that packs, used again for each of hundreds of polls a second.
    [ThreadStatic]
    private static ArrayBufferWriter<byte>? t_output;

    [ThreadStatic]
    private static List<int>? t_tags;

    /// <summary>Packs a reading for the row that it will stand in.</summary>
    /// <exception cref="ArgumentException">A port of the reading belongs to another element: a bug of the caller.</exception>
    public static byte[] Encode(SwitchReading reading, in PollRow row)
    {
        ArrayBufferWriter<byte> output = t_output ??= new ArrayBufferWriter<byte>();
        output.ResetWrittenCount();
        output.WriteVarint(reading.Ports.Any(static p => p.Priority != Criticality.Unknown) ? Version : VersionWithoutPriority);
        output.WriteVarint(checked((ulong)reading.Sequence));
        output.WriteVarint((ulong)(StoreTime.TicksWithin(reading.At) << 1 | (reading.UpTime is null ? 0 : 1)));
        if (reading.UpTime is { } upTime)
        {
            WriteUpTime(output, upTime);
        }

        WritePorts(output, reading);
        WriteGroups(output, reading.Groups);
        var crc = CheckSum.Of(output.WrittenSpan, row.CheckSumSeed());
        BinaryPrimitives.WriteUInt32LittleEndian(output.GetSpan(CheckSumLength), crc);
        output.Advance(CheckSumLength);
        return output.WrittenSpan.ToArray();
    }

    /// <summary>Unpacks what <see cref="Encode"/> packed for the same row.</summary>
    /// <exception cref="StoreException">The row or the bytes are damaged, or a newer version wrote them. No number is given then.</exception>
    public static SwitchReading Decode(in PollRow row, ReadOnlySpan<byte> payload, ImmutableDictionary<PsePortRef, string> names)
    {
        try
        {
            return DecodeChecked(row, payload) with { InterfaceNames = names };
        }
        catch (Exception e) when (e is InvalidDataException or OverflowException)
        {
            throw new StoreException(
                $"The stored poll of '{row.PseId}' at {StoreTime.FromMicroseconds(row.AtMicroseconds):O} cannot be read: {e.Message}. "
                + "Restore the store from a backup, or start with an empty data folder and keep this one for repair.",
                e);
        }
    }

    private static SwitchReading DecodeChecked(in PollRow row, ReadOnlySpan<byte> payload)
    {
        if (payload.Length <= CheckSumLength)
        {
            throw new InvalidDataException($"{payload.Length} bytes are too few");
        }

        if (payload[0] is < VersionWithoutPriority or > Version)
        {
            throw new InvalidDataException($"its layout is version {payload[0]}, this software reads versions up to {Version}: damaged, or written by newer software");
        }

        var body = payload[..^CheckSumLength];
        if (CheckSum.Of(body, row.CheckSumSeed()) != BinaryPrimitives.ReadUInt32LittleEndian(payload[^CheckSumLength..]))
        {
            throw new InvalidDataException("its check sum is wrong, so the row is damaged");
        }

        var input = new PackedReader(body[1..]);
        var sequence = input.ReadLong("sequence");
        var time = input.ReadInt("time");
        TimeSpan? upTime = (time & 1) == 0 ? null : ReadUpTime(ref input);
        var at = StoreTime.FromMicroseconds(row.AtMicroseconds).AddTicks(time >> 1);
        var ports = ReadPorts(ref input, row.PseId, payload[0] == VersionWithoutPriority ? PortTag.CeilingWithoutPriority : PortTag.Ceiling);
        var groups = ReadGroups(ref input);
        return input.Remaining == 0
            ? new SwitchReading(row.PseId, sequence, at, row.Outcome, row.Detail, upTime, ports, groups)
            : throw new InvalidDataException($"{input.Remaining} bytes too many");
    }

    // sysUpTime counts hundredths of a second (RFC 3418): four bytes instead of seven; any other time span is kept in ticks.
    private static void WriteUpTime(ArrayBufferWriter<byte> output, TimeSpan upTime)
    {
        var ticks = checked((ulong)upTime.Ticks);
        output.WriteVarint(ticks % TicksPerCentisecond == 0 ? ticks / TicksPerCentisecond << 1 : ticks << 1 | 1);
    }

    private static TimeSpan ReadUpTime(ref PackedReader input)
    {
        var value = input.ReadVarint();
        var ticks = (value & 1) == 1 ? value >> 1 : Math.Min(value >> 1, long.MaxValue / TicksPerCentisecond) * TicksPerCentisecond;
        return TimeSpan.FromTicks((long)ticks);
    }

    private static void WritePorts(ArrayBufferWriter<byte> output, SwitchReading reading)
    {
        output.WriteVarint((ulong)reading.Ports.Length);
        List<int> tags = t_tags ??= [];
        tags.Clear();
        var previous = new PsePortRef(reading.PseId, 1, 0);
        foreach (var port in reading.Ports)
        {
            if (port.Port.PseId != reading.PseId)
            {
                throw new ArgumentException($"A poll of '{reading.PseId}' holds a reading of port {port.Port}.", nameof(reading));
            }

            var follows = port.Port == previous with { Port = previous.Port + 1 };
            var tag = PortTag.Of(port, follows);
            var index = tags.IndexOf(tag);
            output.WriteVarint((ulong)(index < 0 ? tags.Count : index));
            if (index < 0)
            {
                tags.Add(tag);
                output.WriteVarint((ulong)tag);
            }

            if (!follows)
            {
                output.WriteVarint(checked((ulong)port.Port.Group));
                output.WriteVarint(checked((ulong)port.Port.Port));
            }

            output.WriteMagnitude(port.DrawAtPse);
            previous = port.Port;
        }
    }

    private static ImmutableArray<PortReading> ReadPorts(ref PackedReader input, string pseId, int tagCeiling)
    {
        var count = input.ReadCount("ports", 1);
        var ports = ImmutableArray.CreateBuilder<PortReading>(count);
        var tags = new List<int>();
        var port = new PsePortRef(pseId, 1, 0);
        for (var i = 0; i < count; i++)
        {
            var index = input.ReadInt("tag index");
            if (index > tags.Count)
            {
                throw new InvalidDataException($"tag {index} is not there");
            }

            if (index == tags.Count)
            {
                tags.Add(PortTag.Checked(input.ReadInt("tag"), tagCeiling));
            }

            var tag = tags[index];
            port = PortTag.Follows(tag)
                ? port with { Port = checked(port.Port + 1) }
                : new PsePortRef(pseId, input.ReadInt("group"), input.ReadInt("port"));
            ports.Add(new PortReading(
                port, PortTag.State(tag), input.ReadPower(PortTag.Power(tag)), PortTag.ProvenanceOf(tag), PortTag.Class(tag))
            {
                Priority = PortTag.Priority(tag),
            });
        }

        return ports.MoveToImmutable();
    }

    private static void WriteGroups(ArrayBufferWriter<byte> output, ImmutableArray<GroupReading> groups)
    {
        output.WriteVarint((ulong)groups.Length);
        foreach (var group in groups)
        {
            output.WriteVarint(checked((ulong)group.Group));
            output.WriteVarint((ulong)GroupTag.Of(group, PackedWriter.KindOf(group.Budget), PackedWriter.KindOf(group.DrawAtPse)));
            output.WriteMagnitude(group.Budget);
            output.WriteMagnitude(group.DrawAtPse);
        }
    }

    private static ImmutableArray<GroupReading> ReadGroups(ref PackedReader input)
    {
        var count = input.ReadCount("groups", 2);
        var groups = ImmutableArray.CreateBuilder<GroupReading>(count);
        for (var i = 0; i < count; i++)
        {
            var number = input.ReadInt("group");
            var tag = input.ReadInt("group tag");
            var budget = input.ReadPower(GroupTag.Budget(tag));
            var draw = input.ReadPower(GroupTag.Draw(tag));
            groups.Add(new GroupReading(number, budget, draw, PortTag.CheckedProvenance(tag & 0xF), GroupTag.IsOn(tag)));
        }

        return groups.MoveToImmutable();
    }
}
