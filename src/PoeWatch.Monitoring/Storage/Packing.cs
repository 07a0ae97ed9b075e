using System.Buffers;
using System.Buffers.Binary;
using System.Numerics;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Storage;

/// <summary>Writes variable-length numbers (seven bits a byte, low bits first) and milliwatts.</summary>
internal static class PackedWriter
{
    internal static void WriteVarint(this ArrayBufferWriter<byte> output, ulong value)
    {
        var span = output.GetSpan(10);
        var length = 0;
        while (value >= 0x80)
        {
            span[length++] = (byte)(value | 0x80);
            value >>= 7;
        }

        span[length++] = (byte)value;
        output.Advance(length);
    }

    internal static void WriteByte(this ArrayBufferWriter<byte> output, byte value)
    {
        output.GetSpan(1)[0] = value;
        output.Advance(1);
    }

    /// <summary>Null, zero and sign stand in the tag, so that a port without draw costs no byte of its own.</summary>
    internal static PowerKind KindOf(Power? power) => power?.Milliwatts switch
    {
        null => PowerKind.Null,
        0 => PowerKind.Zero,
        > 0 => PowerKind.Positive,
        _ => PowerKind.Negative,
    };

    internal static void WriteMagnitude(this ArrayBufferWriter<byte> output, Power? power)
    {
        if (power?.Milliwatts is { } milliwatts and not 0)
        {
            output.WriteVarint(checked((ulong)Math.Abs(milliwatts)));
        }
    }
}

internal enum PowerKind
{
    Null = 0,
    Zero = 1,
    Positive = 2,
    Negative = 3,
}

/// <summary>Reads what <see cref="PackedWriter"/> wrote. Never reads past the end; throws <see cref="InvalidDataException"/> instead.</summary>
internal ref struct PackedReader(ReadOnlySpan<byte> bytes)
{
    private readonly ReadOnlySpan<byte> _bytes = bytes;
    private int _position;

    internal readonly int Remaining => _bytes.Length - _position;

    /// <summary>What has not been read yet.</summary>
    internal readonly ReadOnlySpan<byte> Rest => _bytes[_position..];

    internal ulong ReadVarint()
    {
        ulong value = 0;
        for (var shift = 0; shift < 64; shift += 7)
        {
            var next = ReadByte();
            if (shift == 63 && next > 1)
            {
                break;
            }

            value |= (ulong)(next & 0x7F) << shift;
            if (next < 0x80)
            {
                return value;
            }
        }

        throw new InvalidDataException("a number is longer than 64 bits");
    }

    internal int ReadInt(string what) => (int)ReadBounded(what, int.MaxValue);

    internal long ReadLong(string what) => (long)ReadBounded(what, long.MaxValue);

    /// <summary>A number of items that each take at least <paramref name="bytesEach"/>: bounds what is allocated for them.</summary>
    internal int ReadCount(string what, int bytesEach)
    {
        var count = ReadVarint();
        return count <= (ulong)(Remaining / bytesEach)
            ? (int)count
            : throw new InvalidDataException($"{count} {what} do not fit into {Remaining} bytes");
    }

    internal ReadOnlySpan<byte> ReadBytes(int length)
    {
        if (length > Remaining)
        {
            throw new InvalidDataException("the bytes end too early");
        }

        var part = _bytes.Slice(_position, length);
        _position += length;
        return part;
    }

    internal Power? ReadPower(PowerKind kind) => kind switch
    {
        PowerKind.Null => null,
        PowerKind.Zero => Power.Zero,
        PowerKind.Positive => Power.FromMilliwatts(ReadLong("milliwatts")),
        _ => Power.FromMilliwatts(-ReadLong("milliwatts")),
    };

    internal byte ReadByte() => ReadBytes(1)[0];

    private ulong ReadBounded(string what, ulong max)
    {
        var value = ReadVarint();
        return value <= max ? value : throw new InvalidDataException($"{what} {value} is out of range");
    }
}

/// <summary>CRC-32C (Castagnoli), the check sum of RFC 3720 section 12.1.</summary>
internal static class CheckSum
{
    internal static uint Of(ReadOnlySpan<byte> bytes, uint seed)
    {
        var crc = seed;
        for (; bytes.Length >= 8; bytes = bytes[8..])
        {
            crc = BitOperations.Crc32C(crc, BinaryPrimitives.ReadUInt64LittleEndian(bytes));
        }

        foreach (var b in bytes)
        {
            crc = BitOperations.Crc32C(crc, b);
        }

        return ~crc;
    }

    /// <summary>Carries a text on into the seed of a check sum, with its length, so that two texts do not run into each other.</summary>
    internal static uint Seed(uint crc, string text)
    {
        foreach (var c in text)
        {
            crc = BitOperations.Crc32C(crc, c);
        }

        return BitOperations.Crc32C(crc, (uint)text.Length);
    }
}
