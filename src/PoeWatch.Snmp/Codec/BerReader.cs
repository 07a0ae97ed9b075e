namespace PoeWatch.Snmp.Codec;

/// <summary>
/// Reads BER elements one after another from a span. It never recurses, never allocates and never looks past the bytes
/// it was given: a declared length beyond them fails. The depth of a message is thereby fixed by the code that reads it,
/// not by what was sent. Every method leaves the reader where it was when it returns false.
/// Lenient where agents are: long-form lengths, numbers with superfluous or missing leading zeros.
/// </summary>
internal ref struct BerReader(ReadOnlySpan<byte> data)
{
    private readonly ReadOnlySpan<byte> _data = data;
    private int _position;

    public readonly bool AtEnd => _position >= _data.Length;

    /// <summary>What has not been read yet.</summary>
    public readonly ReadOnlySpan<byte> Rest => _data[_position..];

    /// <summary>The next identifier octet, 0 at the end.</summary>
    public readonly byte PeekTag() => AtEnd ? (byte)0 : _data[_position];

    /// <summary>Reads any element with a single-byte tag and a definite length.</summary>
    public bool TryReadElement(out byte tag, out ReadOnlySpan<byte> content)
    {
        content = default;
        if (!TryReadHeader(out tag, out uint length, out int start) || length > (uint)(_data.Length - start))
        {
            return false;
        }

        content = _data.Slice(start, (int)length);
        _position = start + (int)length;
        return true;
    }

    /// <summary>Reads an element that must have this tag.</summary>
    public bool TryReadElement(byte expectedTag, out ReadOnlySpan<byte> content)
    {
        content = default;
        return PeekTag() == expectedTag && TryReadElement(out _, out content);
    }

    /// <summary>Reads a constructed element and gives a reader over its content.</summary>
    public bool TryEnter(byte expectedTag, out BerReader inner)
    {
        bool found = TryReadElement(expectedTag, out ReadOnlySpan<byte> content);
        inner = new BerReader(content);
        return found;
    }

    /// <summary>
    /// As <see cref="TryEnter"/>, but an element cut off at the end is entered as far as it goes. Only for finding out
    /// which request a damaged datagram belongs to: what is cut off is never decoded.
    /// </summary>
    public bool TryEnterCutOff(byte expectedTag, out BerReader inner, out bool cutOff)
    {
        inner = default;
        cutOff = false;
        if (PeekTag() != expectedTag || !TryReadHeader(out _, out uint length, out int start))
        {
            return false;
        }

        uint available = (uint)(_data.Length - start);
        cutOff = length > available;
        int taken = (int)Math.Min(length, available);
        inner = new BerReader(_data.Slice(start, taken));
        _position = start + taken;
        return true;
    }

    /// <summary>Reads an INTEGER that fits 32 bits with sign.</summary>
    public bool TryReadInt32(out int value)
    {
        int before = _position;
        value = 0;
        if (TryReadElement(BerTag.Integer, out ReadOnlySpan<byte> content)
            && TryDecodeSigned(content, out long number)
            && number is >= int.MinValue and <= int.MaxValue)
        {
            value = (int)number;
            return true;
        }

        _position = before;
        return false;
    }

    /// <summary>Two's complement of any length whose value fits 64 bits.</summary>
    public static bool TryDecodeSigned(ReadOnlySpan<byte> content, out long value)
    {
        value = 0;
        if (content.IsEmpty)
        {
            return false;
        }

        byte padding = (content[0] & 0x80) == 0 ? (byte)0x00 : (byte)0xFF;
        while (content.Length > 1 && content[0] == padding && ((content[1] ^ padding) & 0x80) == 0)
        {
            content = content[1..];
        }

        if (content.Length > sizeof(long))
        {
            return false;
        }

        value = unchecked((sbyte)content[0]);
        foreach (byte octet in content[1..])
        {
            value = unchecked((value << 8) | octet);
        }

        return true;
    }

    /// <summary>
    /// An unsigned number of any length whose value fits <paramref name="bytes"/> bytes. The leading zero that tells an
    /// unsigned number from a negative one may be missing: some agents forget it.
    /// </summary>
    public static bool TryDecodeUnsigned(ReadOnlySpan<byte> content, int bytes, out ulong value)
    {
        value = 0;
        if (content.IsEmpty)
        {
            return false;
        }

        content = content.TrimStart((byte)0);
        if (content.Length > bytes)
        {
            return false;
        }

        foreach (byte octet in content)
        {
            value = unchecked((value << 8) | octet);
        }

        return true;
    }

    private readonly bool TryReadHeader(out byte tag, out uint length, out int start)
    {
        tag = 0;
        length = 0;
        start = _position;
        if (_data.Length - start < 2)
        {
            return false;
        }

        tag = _data[start++];
        byte first = _data[start++];
        if ((tag & 0x1F) == 0x1F)
        {
            return false;
        }

        if (first < 0x80)
        {
            length = first;
            return true;
        }

        // 0x80 is the indefinite form, which SNMP forbids (RFC 3417 section 8).
        int lengthBytes = first & 0x7F;
        if (lengthBytes == 0 || lengthBytes > _data.Length - start)
        {
            return false;
        }

        ReadOnlySpan<byte> digits = _data.Slice(start, lengthBytes).TrimStart((byte)0);
        start += lengthBytes;
        if (digits.Length > sizeof(uint))
        {
            return false;
        }

        foreach (byte digit in digits)
        {
            length = unchecked((length << 8) | digit);
        }

        return true;
    }
}
