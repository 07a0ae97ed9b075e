using System.Buffers;
using System.Buffers.Binary;
using System.Numerics;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>Writes bits, low bits first, into whole bytes. <see cref="Flush"/> fills the last one with zeros.</summary>
internal ref struct BitWriter(ArrayBufferWriter<byte> output)
{
    private ulong _bits;
    private int _count;

    /// <summary>Writes the low <paramref name="width"/> (0 to 64) bits of a number; the others must be zero.</summary>
    internal void Write(ulong value, int width)
    {
        _bits |= value << _count;
        var taken = 64 - _count;
        _count += width;
        if (_count < 64)
        {
            return;
        }

        BinaryPrimitives.WriteUInt64LittleEndian(output.GetSpan(8), _bits);
        output.Advance(8);
        _bits = taken == 64 ? 0 : value >> taken;
        _count -= 64;
    }

    internal void Flush()
    {
        Span<byte> rest = stackalloc byte[8];
        BinaryPrimitives.WriteUInt64LittleEndian(rest, _bits);
        output.Write(rest[..((_count + 7) / 8)]);
        (_bits, _count) = (0, 0);
    }
}

/// <summary>Reads what <see cref="BitWriter"/> wrote. Past the end it reads zeros; <see cref="BytesRead"/> then throws.</summary>
internal ref struct BitReader(ReadOnlySpan<byte> bytes)
{
    private readonly ReadOnlySpan<byte> _bytes = bytes;
    private long _position;

    /// <summary>Bytes that were begun.</summary>
    /// <exception cref="InvalidDataException">More bits were read than there are.</exception>
    internal readonly int BytesRead => (_position + 7) / 8 <= _bytes.Length
        ? (int)((_position + 7) / 8)
        : throw new InvalidDataException("the bits of a column end too early");

    /// <summary>The next bits, at least 57 of them, without taking them.</summary>
    internal readonly ulong Peek()
    {
        var at = (int)Math.Min(_position >> 3, _bytes.Length);
        var rest = _bytes[at..];
        if (rest.Length >= 8)
        {
            return BinaryPrimitives.ReadUInt64LittleEndian(rest) >> (int)(_position & 7);
        }

        ulong bits = 0;
        for (var i = 0; i < rest.Length; i++)
        {
            bits |= (ulong)rest[i] << (8 * i);
        }

        return bits >> (int)(_position & 7);
    }

    internal void Skip(int width) => _position += width;

    /// <summary>The next bits as a number; <paramref name="width"/> is 0 to 64.</summary>
    internal ulong Read(int width)
    {
        if (width > 32)
        {
            var low = Read(32);
            return low | Read(width - 32) << 32;
        }

        var value = Peek() & ((1UL << width) - 1);
        _position += width;
        return value;
    }
}

/// <summary>Signed numbers as unsigned ones, small either way: 0, -1, 1, -2, … become 0, 1, 2, 3, …</summary>
internal static class ZigZag
{
    internal static ulong Of(long value) => (ulong)(value << 1 ^ value >> 63);

    internal static long Back(ulong value) => (long)(value >> 1) ^ -(long)(value & 1);

    /// <summary>Bits that a number needs: 0 for 0.</summary>
    internal static int BitLength(ulong value) => 64 - BitOperations.LeadingZeroCount(value);
}
