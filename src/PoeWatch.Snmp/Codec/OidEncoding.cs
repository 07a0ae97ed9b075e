namespace PoeWatch.Snmp.Codec;

/// <summary>
/// Base-128 sub-identifiers of an OBJECT IDENTIFIER (X.690 section 8.19). Pure functions over bytes. The first
/// encoded number holds two sub-identifiers: 40 times the first plus the second.
/// </summary>
internal static class OidEncoding
{
    /// <summary>A 32-bit number takes at most this many bytes.</summary>
    public const int MaxBytesPerNumber = 5;

    /// <summary>The largest first number: sub-identifiers 2 and 2^32-1.</summary>
    private const ulong LargestFirstNumber = 80UL + uint.MaxValue;

    /// <summary>
    /// Checks an encoding from outside: complete, not padded, numbers within 32 bits, at most
    /// <see cref="Oid.MaxSubIdentifiers"/>. Padding is refused so that equal OIDs always have equal bytes.
    /// </summary>
    public static bool IsValid(ReadOnlySpan<byte> encoded)
    {
        if (encoded.IsEmpty || (encoded[^1] & 0x80) != 0)
        {
            return false;
        }

        int position = 0;
        int subIdentifiers = 1;
        while (position < encoded.Length)
        {
            if (encoded[position] == 0x80 || !TryReadNumber(encoded, ref position, out ulong number))
            {
                return false;
            }

            ulong largest = subIdentifiers == 1 ? LargestFirstNumber : uint.MaxValue;
            if (number > largest || ++subIdentifiers > Oid.MaxSubIdentifiers)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>
    /// True for an encoding short enough to be within every bound, whose numbers have at most three bytes: as almost all names. False
    /// says nothing: <see cref="IsValid"/> decides.
    /// </summary>
    public static bool IsValidShort(ReadOnlySpan<byte> encoded)
    {
        if (encoded.Length is 0 or > 100 || encoded[^1] >= 0x80)
        {
            return false;
        }

        int high = encoded.IndexOfAnyInRange((byte)0x80, (byte)0xFF);
        if (high < 0)
        {
            return true;
        }

        for (int i = high; i < encoded.Length; i++)
        {
            // The first byte of a number must not be filling, and no number may need more than 32 bits: here, than three bytes.
            int bytes = 0;
            byte first = encoded[i];
            while (encoded[i] >= 0x80)
            {
                i++;
                bytes++;
            }

            if (first == 0x80 || bytes > 2)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Reads the number at <paramref name="position"/> and moves behind it.</summary>
    public static bool TryReadNumber(ReadOnlySpan<byte> encoded, ref int position, out ulong number)
    {
        number = 0;
        for (int used = 0; used < MaxBytesPerNumber && position < encoded.Length; used++)
        {
            byte octet = encoded[position++];
            number = (number << 7) | (uint)(octet & 0x7F);
            if ((octet & 0x80) == 0)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Writes a number at <paramref name="position"/> and moves behind it.</summary>
    public static void WriteNumber(Span<byte> destination, ref int position, ulong number)
    {
        int groups = 1;
        for (ulong rest = number >> 7; rest != 0; rest >>= 7)
        {
            groups++;
        }

        for (int group = groups - 1; group > 0; group--)
        {
            destination[position++] = (byte)(0x80 | ((number >> (7 * group)) & 0x7F));
        }

        destination[position++] = (byte)(number & 0x7F);
    }

    /// <summary>Lexicographic order by sub-identifier, found without decoding more than one number of each.</summary>
    public static int Compare(ReadOnlySpan<byte> left, ReadOnlySpan<byte> right)
    {
        int same = left.CommonPrefixLength(right);
        if (same == left.Length || same == right.Length)
        {
            return left.Length.CompareTo(right.Length);
        }

        // Back to the first byte of the number that differs: a longer number is not always the larger byte.
        while (same > 0 && (left[same - 1] & 0x80) != 0)
        {
            same--;
        }

        int leftPosition = same;
        int rightPosition = same;
        TryReadNumber(left, ref leftPosition, out ulong leftNumber);
        TryReadNumber(right, ref rightPosition, out ulong rightNumber);
        return leftNumber.CompareTo(rightNumber);
    }
}
