using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Walking;

/// <summary>
/// The variables of one answer, decoded as a whole before any is believed: a damaged list leaves no trace. Names and octets are
/// places in the list, moved by where the list will be kept. The room is used again. Not thread-safe.
/// </summary>
internal sealed class WalkAnswer
{
    private StoredCell[] _cells = new StoredCell[128];

    public int Count { get; private set; }

    public ReadOnlySpan<StoredCell> Cells => new(_cells, 0, Count);

    /// <summary>Decodes the content of a variable-bindings list. False where it is not whole, or has too many.</summary>
    /// <param name="list">The bytes.</param>
    /// <param name="keptAt">Where the first of them will stand in <see cref="WalkRows.Bytes"/>.</param>
    public bool TryDecode(ReadOnlySpan<byte> list, int keptAt)
    {
        Count = 0;
        int at = 0;
        while (at < list.Length)
        {
            int length = TryShort(list[at..], keptAt + at, out StoredCell cell);
            if (length == 0 && (length = TryAny(list[at..], keptAt + at, out cell)) == 0)
            {
                return false;
            }

            if (Count == VarBindReader.MaxVarBinds)
            {
                return false;
            }

            if (Count == _cells.Length)
            {
                Array.Resize(ref _cells, 2 * Count);
            }

            _cells[Count++] = cell;
            at += length;
        }

        return true;
    }

    /// <summary>
    /// A binding as almost all are: lengths of one byte, a number for a value. Gives its length, 0 where it is not such a one: then it is
    /// for <see cref="TryAny"/> to read or refuse.
    /// </summary>
    private static int TryShort(ReadOnlySpan<byte> at, int keptAt, out StoredCell cell)
    {
        cell = default;
        if (at.Length < 8 || at[0] != BerTag.Sequence || at[2] != BerTag.ObjectIdentifier)
        {
            return 0;
        }

        int length = at[1] + 2;
        int nameLength = at[3];
        int valueAt = nameLength + 6;
        if (length > 0x81 || length > at.Length || valueAt >= length || valueAt + at[valueAt - 1] != length
            || !OidEncoding.IsValidShort(at.Slice(4, nameLength)))
        {
            return 0;
        }

        byte tag = at[valueAt - 2];
        ReadOnlySpan<byte> content = at[valueAt..length];
        if (content.Length > 5 || !TryNumber(tag, content, out SnmpType type, out long number))
        {
            return 0;
        }

        cell = new StoredCell(type, number, keptAt + 4, nameLength);
        return length;
    }

    private static bool TryNumber(byte tag, ReadOnlySpan<byte> content, out SnmpType type, out long number)
    {
        type = tag switch
        {
            BerTag.Integer => SnmpType.Integer32,
            BerTag.Counter32 => SnmpType.Counter32,
            BerTag.Gauge32 or BerTag.Unsigned32Obsolete => SnmpType.Gauge32,
            BerTag.TimeTicks => SnmpType.TimeTicks,
            _ => SnmpType.Null,
        };
        ulong unsigned = 0;
        foreach (byte octet in content)
        {
            unsigned = (unsigned << 8) | octet;
        }

        number = (long)unsigned;
        if (type == SnmpType.Integer32)
        {
            // Sign-extended from the content's own length.
            int unused = 64 - (8 * content.Length);
            number = unchecked((long)(unsigned << unused)) >> unused;
            return true;
        }

        return type != SnmpType.Null && unsigned <= uint.MaxValue;
    }

    private static int TryAny(ReadOnlySpan<byte> at, int keptAt, out StoredCell cell)
    {
        cell = default;
        BerReader reader = new(at);
        if (!reader.TryEnter(BerTag.Sequence, out BerReader binding)
            || !binding.TryReadElement(BerTag.ObjectIdentifier, out ReadOnlySpan<byte> name)
            || !OidEncoding.IsValid(name)
            || !binding.TryReadElement(out byte tag, out ReadOnlySpan<byte> content))
        {
            return 0;
        }

        SnmpType type = VarBindReader.TypeOf(tag, content, out long number, out bool isOctets);
        number = isOctets ? StoredCell.Place(keptAt + OffsetIn(at, content), content.Length) : number;
        cell = new StoredCell(type, number, keptAt + OffsetIn(at, name), name.Length);
        return at.Length - reader.Rest.Length;
    }

    private static int OffsetIn(ReadOnlySpan<byte> whole, ReadOnlySpan<byte> part) =>
        !part.IsEmpty && whole.Overlaps(part, out int offset) ? offset : 0;
}
