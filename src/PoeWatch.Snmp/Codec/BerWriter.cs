using System.Numerics;

namespace PoeWatch.Snmp.Codec;

/// <summary>
/// Writes BER from the end of a buffer towards its start, so that every length is known when its turn comes and takes its
/// shortest form. Write the last element first; close a constructed element by <see cref="Wrap"/> with the
/// <see cref="Length"/> noted before its content. The caller gives a buffer that is large enough: too small a one is a bug
/// and throws.
/// </summary>
internal ref struct BerWriter(Span<byte> buffer)
{
    private readonly Span<byte> _buffer = buffer;
    private int _start = buffer.Length;

    /// <summary>How many bytes are written so far.</summary>
    public readonly int Length => _buffer.Length - _start;

    /// <summary>What is written so far.</summary>
    public readonly Span<byte> Written => _buffer[_start..];

    public void WriteSigned(byte tag, long value)
    {
        int before = Length;
        long rest = value;
        do
        {
            Put(unchecked((byte)rest));
            rest >>= 8;
        }
        while (rest is not (0 or -1) || ((rest ^ unchecked((sbyte)_buffer[_start])) & 0x80) != 0);

        Wrap(tag, before);
    }

    public void WriteUnsigned(byte tag, ulong value)
    {
        int before = Length;
        int bytes = (BitOperations.Log2(value | 1) / 8) + 1;
        for (int i = 0; i < bytes; i++)
        {
            Put(unchecked((byte)(value >> (8 * i))));
        }

        if ((_buffer[_start] & 0x80) != 0)
        {
            Put(0);
        }

        Wrap(tag, before);
    }

    public void WriteInteger(long value) => WriteSigned(BerTag.Integer, value);

    public void WriteOctets(byte tag, scoped ReadOnlySpan<byte> content)
    {
        int before = Length;
        WriteRaw(content);
        Wrap(tag, before);
    }

    public void WriteOid(Oid oid) => WriteOctets(BerTag.ObjectIdentifier, oid.Encoded);

    public void WriteNull(byte tag = BerTag.Null) => Wrap(tag, Length);

    /// <summary>Puts bytes that are encoded already.</summary>
    public void WriteRaw(scoped ReadOnlySpan<byte> bytes)
    {
        _start -= bytes.Length;
        bytes.CopyTo(_buffer[_start..]);
    }

    /// <summary>Makes room for bytes that the caller puts there.</summary>
    public Span<byte> WriteRoom(int length)
    {
        _start -= length;
        return _buffer.Slice(_start, length);
    }

    /// <summary>Sets tag and length before everything written since <paramref name="lengthBefore"/>.</summary>
    public void Wrap(byte tag, int lengthBefore)
    {
        int length = Length - lengthBefore;
        if (length < 0x80)
        {
            Put((byte)length);
        }
        else
        {
            int bytes = 0;
            for (int rest = length; rest != 0; rest >>= 8)
            {
                Put(unchecked((byte)rest));
                bytes++;
            }

            Put((byte)(0x80 | bytes));
        }

        Put(tag);
    }

    private void Put(byte value) => _buffer[--_start] = value;
}
