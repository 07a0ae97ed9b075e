using System.Buffers.Binary;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Walking;

/// <summary>
/// The variables of one answer, decoded as a whole before any is believed: a damaged list leaves no trace. Names and octets are
/// places in the list, moved by where the list will be kept. The room is used again. Not thread-safe.
/// </summary>
internal sealed class WalkAnswer
{
    /// <summary>Tag and length of a binding and of its name, both lengths of one byte: 30 xx 06 xx.</summary>
    private const uint ShortMask = 0x80FF80FF;
    private const uint ShortHead = BerTag.Sequence | (BerTag.ObjectIdentifier << 16);

    private StoredCell[] _cells = new StoredCell[128];

    [ThreadStatic]
    private static WalkAnswer? t_ofThread;

    /// <summary>One a thread serves all walks: what is read next is then always at hand.</summary>
    public static WalkAnswer OfThread => t_ofThread ??= new WalkAnswer();

    public int Count { get; private set; }

    public ReadOnlySpan<StoredCell> Cells => new(_cells, 0, Count);

    /// <summary>True where some name or octets are to be read out of the list's bytes later on.</summary>
    public bool NeedsBytes { get; private set; }

    /// <summary>Decodes the content of a variable-bindings list. False where it is not whole, or has too many.</summary>
    /// <param name="list">The bytes.</param>
    /// <param name="keptAt">Where the first of them will stand in <see cref="WalkRows.Bytes"/>.</param>
    /// <param name="singles">How many variables come before the rows.</param>
    /// <param name="columns">The columns of a row, in the order asked for.</param>
    public bool TryDecode(ReadOnlySpan<byte> list, int keptAt, int singles, ReadOnlySpan<ColumnName> columns)
    {
        int at = 0;
        int count = 0;
        bool needsBytes = false;
        int next = columns.IsEmpty ? int.MinValue : -singles;
        while (at < list.Length)
        {
            if (count == _cells.Length)
            {
                Array.Resize(ref _cells, 2 * count);
            }

            ColumnName? column = next < 0 ? null : columns[next];
            next = next + 1 == columns.Length ? 0 : next + 1;
            int length = TryShort(list[at..], keptAt + at, column, ref _cells[count]);
            if (length == 0)
            {
                length = TryAny(list[at..], keptAt + at, out _cells[count]);
            }

            if (length == 0 || count++ == VarBindReader.MaxVarBinds)
            {
                Count = 0;
                return false;
            }

            needsBytes |= _cells[count - 1].Key == 0;
            at += length;
        }

        Count = count;
        NeedsBytes = needsBytes;
        return true;
    }

    /// <summary>
    /// A binding as almost all are: lengths of one byte, a number for a value, a name whose numbers are small. Gives its length, 0 where it
    /// is not such a one: then it is for <see cref="TryAny"/> to read or refuse. Every reading past the span's own checks stands behind a
    /// comparison with how many bytes are left.
    /// </summary>
    private static int TryShort(ReadOnlySpan<byte> binding, int keptAt, ColumnName? column, ref StoredCell cell)
    {
        ref byte start = ref MemoryMarshal.GetReference(binding);
        if (binding.Length < 16 || !BitConverter.IsLittleEndian)
        {
            return 0;
        }

        uint head = Unsafe.ReadUnaligned<uint>(ref start);
        int length = (int)((head >> 8) & 0xFF) + 2;
        int nameLength = (int)(head >> 24);
        int valueAt = nameLength + 6;
        if ((head & ShortMask) != ShortHead || length > binding.Length || valueAt >= length
            || valueAt + Unsafe.Add(ref start, valueAt - 1) != length)
        {
            return 0;
        }

        ulong key = column is null ? 0 : KeyIn(column, ref Unsafe.Add(ref start, 4), nameLength, binding.Length - 4);
        if (key == 0 && !OidEncoding.IsValidShort(binding.Slice(4, nameLength)))
        {
            return 0;
        }

        uint tag = Unsafe.Add(ref start, valueAt - 2);
        int bytes = length - valueAt;
        long number = valueAt + sizeof(long) <= binding.Length
            ? BinaryPrimitives.ReverseEndianness(Unsafe.ReadUnaligned<long>(ref Unsafe.Add(ref start, valueAt)))
            : AlignedLeft(binding[valueAt..length]);
        if (bytes > 5)
        {
            return 0;
        }

        // The types of unsigned numbers follow each other in both worlds.
        uint unsigned = unchecked(tag - BerTag.Counter32);
        int unused = 64 - (8 * bytes);
        if (tag == BerTag.Integer)
        {
            cell = Cell(SnmpType.Integer32, number >> unused, key, keptAt + 4, nameLength);
            return length;
        }

        number = number >>> unused;
        if (unsigned > BerTag.TimeTicks - BerTag.Counter32 || number > uint.MaxValue)
        {
            return 0;
        }

        cell = Cell(SnmpType.Counter32 + (int)unsigned, number, key, keptAt + 4, nameLength);
        return length;
    }

    private static StoredCell Cell(SnmpType type, long number, ulong key, int nameAt, int nameLength) =>
        key != 0 ? new StoredCell(type, number, key) : new StoredCell(type, number, nameAt, nameLength);

    /// <summary>The key of a name in a column, 0 where it is not in it or has none.</summary>
    private static ulong KeyIn(ColumnName column, ref byte name, int nameLength, int left)
    {
        int prefix = column.Length;
        int index = nameLength - prefix;
        if (index is < 1 or > StoredCell.KeyBytes || !column.HasWords
            || Unsafe.ReadUnaligned<ulong>(ref name) != column.Head
            || Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref name, prefix - sizeof(ulong))) != column.Tail)
        {
            return 0;
        }

        if (prefix + sizeof(ulong) > left)
        {
            return StoredCell.KeyOf(MemoryMarshal.CreateReadOnlySpan(ref Unsafe.Add(ref name, prefix), index));
        }

        int unused = 64 - (8 * index);
        ulong key = BinaryPrimitives.ReverseEndianness(Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref name, prefix))) >> unused << unused;
        return (key & 0x8080808080808080) == 0 ? key | (uint)index : 0;
    }

    private static long AlignedLeft(ReadOnlySpan<byte> content)
    {
        ulong number = 0;
        foreach (byte octet in content[..Math.Min(content.Length, sizeof(long))])
        {
            number = (number << 8) | octet;
        }

        return unchecked((long)(number << (64 - (8 * Math.Min(content.Length, sizeof(long))))));
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
