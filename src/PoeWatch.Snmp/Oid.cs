using System.Globalization;
using System.Text;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp;

/// <summary>
/// An object identifier of 2 to 128 sub-identifiers of 0 to 2^32-1 (RFC 2578 section 3.5), kept as its encoded bytes so
/// that comparing and sending cost no conversion. Immutable and safe to share. <c>default</c> is the empty OID: it sorts
/// first, starts nothing and cannot be requested. An OID out of an answer keeps that answer's bytes alive: store
/// <see cref="ToOwned"/> for longer than a poll.
/// </summary>
public readonly struct Oid : IEquatable<Oid>, IComparable<Oid>
{
    /// <summary>RFC 2578 section 3.5: at most 128 sub-identifiers in a value.</summary>
    public const int MaxSubIdentifiers = 128;

    private readonly byte[]? _buffer;
    private readonly int _offset;
    private readonly int _length;

    /// <summary>Takes bytes that <see cref="OidEncoding.IsValid"/> has accepted; they must not change afterwards.</summary>
    internal Oid(byte[] buffer, int offset, int length)
    {
        _buffer = buffer;
        _offset = offset;
        _length = length;
    }

    /// <summary>The content octets of the BER encoding.</summary>
    public ReadOnlySpan<byte> Encoded => new(_buffer, _offset, _length);

    /// <summary>True for <c>default</c>.</summary>
    public bool IsEmpty => _length == 0;

    /// <summary>The number of sub-identifiers.</summary>
    public int Count
    {
        get
        {
            int numbers = 0;
            foreach (byte octet in Encoded)
            {
                numbers += (octet & 0x80) == 0 ? 1 : 0;
            }

            return numbers == 0 ? 0 : numbers + 1;
        }
    }

    /// <summary>The sub-identifier at an index from 0. Walks the encoding: fine for an index or two, not for a loop.</summary>
    public uint this[int index]
    {
        get
        {
            Span<uint> all = stackalloc uint[MaxSubIdentifiers];
            int count = CopyTo(all);
            return index >= 0 && index < count
                ? all[index]
                : throw new ArgumentOutOfRangeException(nameof(index), index, $"{this} has {count} sub-identifiers.");
        }
    }

    /// <summary>Reads dotted decimal, with or without a leading dot.</summary>
    /// <exception cref="FormatException">The text is no OID; the message says what is wanted.</exception>
    public static Oid Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return TryParse(text, out Oid oid)
            ? oid
            : throw new FormatException(
                $"'{text}' is not an object identifier: write 2 to {MaxSubIdentifiers} numbers of 0 to 4294967295 "
                + "with dots between, such as 1.3.6.1.2.1.1.3.0; the first is 0 to 2, the second below 40 after 0 or 1.");
    }

    /// <summary>Reads dotted decimal, with or without a leading dot.</summary>
    public static bool TryParse(ReadOnlySpan<char> text, out Oid oid)
    {
        oid = default;
        Span<uint> numbers = stackalloc uint[MaxSubIdentifiers];
        int count = 0;
        ReadOnlySpan<char> rest = text.StartsWith(".") ? text[1..] : text;
        foreach (Range range in rest.Split('.'))
        {
            if (count == MaxSubIdentifiers
                || !uint.TryParse(rest[range], NumberStyles.None, CultureInfo.InvariantCulture, out numbers[count++]))
            {
                return false;
            }
        }

        if (!IsLawful(numbers[..count]))
        {
            return false;
        }

        oid = Encode(numbers[..count]);
        return true;
    }

    /// <summary>Builds an OID from its sub-identifiers.</summary>
    public static Oid From(params ReadOnlySpan<uint> subIdentifiers) => IsLawful(subIdentifiers)
        ? Encode(subIdentifiers)
        : throw new ArgumentException(
            $"An object identifier has 2 to {MaxSubIdentifiers} sub-identifiers, the first 0 to 2, the second below 40 after 0 or 1.",
            nameof(subIdentifiers));

    /// <summary>This OID with more sub-identifiers behind it.</summary>
    public Oid Append(params ReadOnlySpan<uint> subIdentifiers)
    {
        int count = Count;
        if (count == 0)
        {
            return From(subIdentifiers);
        }

        if (count + subIdentifiers.Length > MaxSubIdentifiers)
        {
            throw new ArgumentException(
                $"{this} with {subIdentifiers.Length} more passes {MaxSubIdentifiers} sub-identifiers.", nameof(subIdentifiers));
        }

        byte[] bytes = new byte[_length + (subIdentifiers.Length * OidEncoding.MaxBytesPerNumber)];
        Encoded.CopyTo(bytes);
        int position = _length;
        foreach (uint subIdentifier in subIdentifiers)
        {
            OidEncoding.WriteNumber(bytes, ref position, subIdentifier);
        }

        return new Oid(bytes, 0, position);
    }

    /// <summary>True where this OID is <paramref name="prefix"/> or lies under it.</summary>
    public bool StartsWith(Oid prefix) => Encoded.StartsWith(prefix.Encoded);

    /// <summary>
    /// Copies what stands behind <paramref name="column"/>, for a table cell its index. False where this OID does not lie
    /// under the column or the destination is too short.
    /// </summary>
    public bool TryGetIndex(Oid column, Span<uint> destination, out int count)
    {
        count = 0;
        if (column.IsEmpty || !StartsWith(column))
        {
            return false;
        }

        return TryReadNumbers(Encoded[column._length..], destination, out count);
    }

    /// <summary>Reads a valid encoding that does not start an OID: each number stands for itself.</summary>
    internal static bool TryReadNumbers(ReadOnlySpan<byte> encoded, Span<uint> destination, out int count)
    {
        count = 0;
        int position = 0;
        while (position < encoded.Length)
        {
            if (count == destination.Length)
            {
                count = 0;
                return false;
            }

            // Almost all indexes are small numbers, a byte each.
            byte octet = encoded[position];
            ulong number = octet;
            if (octet < 0x80)
            {
                position++;
            }
            else if (!OidEncoding.TryReadNumber(encoded, ref position, out number))
            {
                count = 0;
                return false;
            }

            destination[count++] = (uint)number;
        }

        return true;
    }

    /// <summary>Copies all sub-identifiers and returns how many there are.</summary>
    /// <exception cref="ArgumentException">The destination is too short.</exception>
    public int CopyTo(Span<uint> destination)
    {
        int position = 0;
        int count = 0;
        while (position < _length)
        {
            OidEncoding.TryReadNumber(Encoded, ref position, out ulong number);
            if (count == 0)
            {
                uint first = (uint)Math.Min(number / 40, 2);
                Set(destination, ref count, first);
                number -= first * 40;
            }

            Set(destination, ref count, (uint)number);
        }

        return count;

        static void Set(Span<uint> destination, ref int count, uint value)
        {
            if (count == destination.Length)
            {
                throw new ArgumentException("The destination is shorter than the object identifier.", nameof(destination));
            }

            destination[count++] = value;
        }
    }

    /// <summary>The same OID with bytes of its own.</summary>
    public Oid ToOwned() => _buffer is null || _buffer.Length == _length ? this : new Oid(Encoded.ToArray(), 0, _length);

    public int CompareTo(Oid other) => OidEncoding.Compare(Encoded, other.Encoded);

    public bool Equals(Oid other) => Encoded.SequenceEqual(other.Encoded);

    public override bool Equals(object? obj) => obj is Oid other && Equals(other);

    public override int GetHashCode()
    {
        HashCode hash = default;
        hash.AddBytes(Encoded);
        return hash.ToHashCode();
    }

    /// <summary>Dotted decimal without a leading dot; empty for <c>default</c>.</summary>
    public override string ToString()
    {
        Span<uint> numbers = stackalloc uint[MaxSubIdentifiers];
        int count = CopyTo(numbers);
        StringBuilder text = new(count * 3);
        foreach (uint number in numbers[..count])
        {
            text.Append(text.Length == 0 ? "" : ".").Append(CultureInfo.InvariantCulture, $"{number}");
        }

        return text.ToString();
    }

    public static bool operator ==(Oid left, Oid right) => left.Equals(right);

    public static bool operator !=(Oid left, Oid right) => !left.Equals(right);

    public static bool operator <(Oid left, Oid right) => left.CompareTo(right) < 0;

    public static bool operator >(Oid left, Oid right) => left.CompareTo(right) > 0;

    public static bool operator <=(Oid left, Oid right) => left.CompareTo(right) <= 0;

    public static bool operator >=(Oid left, Oid right) => left.CompareTo(right) >= 0;

    private static bool IsLawful(ReadOnlySpan<uint> numbers) =>
        numbers.Length is >= 2 and <= MaxSubIdentifiers && numbers[0] <= 2 && (numbers[0] == 2 || numbers[1] < 40);

    private static Oid Encode(ReadOnlySpan<uint> numbers)
    {
        byte[] bytes = new byte[numbers.Length * OidEncoding.MaxBytesPerNumber];
        int position = 0;
        OidEncoding.WriteNumber(bytes, ref position, (numbers[0] * 40UL) + numbers[1]);
        foreach (uint number in numbers[2..])
        {
            OidEncoding.WriteNumber(bytes, ref position, number);
        }

        return new Oid(bytes, 0, position);
    }
}
