using System.Buffers.Binary;

namespace PoeWatch.Snmp.Walking;

/// <summary>
/// One value as a walk keeps it: 16 bytes and no reference, so that hundreds cost the collector nothing and many polls in flight stay near the processor.
/// Almost all are a number of at most 56 bits under a short index, which then stands in <see cref="Key"/>; else name and octets are places in
/// <see cref="WalkRows.Bytes"/>.
/// </summary>
internal readonly struct StoredCell
{
    /// <summary>Bytes of an index that a key has room for.</summary>
    public const int KeyBytes = 7;

    private const int TypeBits = 8;

    // With a key: the key, whose last byte is not 0, then number and type. Without: place and length of the name, type and 0, then the number.
    private readonly ulong _head;
    private readonly long _tail;

    /// <summary>A value under its whole name.</summary>
    public StoredCell(SnmpType type, long number, int nameOffset, int nameLength)
    {
        _head = unchecked(((ulong)(uint)nameOffset << 32) | ((ulong)(ushort)nameLength << 16) | ((ulong)(byte)type << TypeBits));
        _tail = number;
    }

    /// <summary>A number of at most 56 bits under a short index.</summary>
    public StoredCell(SnmpType type, long number, ulong key)
    {
        _head = key;
        _tail = (number << TypeBits) | unchecked((byte)type);
    }

    public SnmpType Type => (SnmpType)unchecked((byte)(HasKey ? (ulong)_tail : _head >> TypeBits));

    /// <summary>The number; for octets, where they stand.</summary>
    public long Number => HasKey ? _tail >> TypeBits : _tail;

    /// <summary>
    /// An index of one to seven sub-identifiers below 128, one a byte from the most significant on, and in the last byte how many there
    /// are: so keys order as indexes do. 0 for any other index.
    /// </summary>
    public ulong Key => HasKey ? _head : 0;

    /// <summary>Where the name stands; only without a key.</summary>
    public int NameOffset => unchecked((int)(_head >> 32));

    public int NameLength => unchecked((ushort)(_head >> 16));

    private bool HasKey => (_head & 0xFF) != 0;

    public bool HasOctets => Type is SnmpType.OctetString or SnmpType.ObjectIdentifier or SnmpType.IpAddress or SnmpType.Opaque
        or SnmpType.Undecodable;

    /// <summary>Where octets stand, as <see cref="Number"/> holds it.</summary>
    public static long Place(int offset, int length) => ((long)offset << 32) | (uint)length;

    public SnmpValue ValueIn(byte[] bytes) => HasOctets
        ? new SnmpValue(Type, bytes, (int)(Number >> 32), unchecked((int)Number))
        : new SnmpValue(Type, Number);

    public Oid NameIn(byte[] bytes) => new(bytes, NameOffset, NameLength);

    /// <summary>The index that a key stands for, encoded.</summary>
    public static ReadOnlySpan<byte> IndexOf(ulong key, Span<byte> room)
    {
        BinaryPrimitives.WriteUInt64BigEndian(room, key);
        return room[..(int)(key & 0xFF)];
    }

    /// <summary>The key of an encoded index, 0 where it has none.</summary>
    public static ulong KeyOf(ReadOnlySpan<byte> index)
    {
        if (index.Length is 0 or > KeyBytes || index.ContainsAnyInRange((byte)0x80, (byte)0xFF))
        {
            return 0;
        }

        Span<byte> room = stackalloc byte[sizeof(ulong)];
        room.Clear();
        index.CopyTo(room);
        room[KeyBytes] = (byte)index.Length;
        return BinaryPrimitives.ReadUInt64BigEndian(room);
    }
}
