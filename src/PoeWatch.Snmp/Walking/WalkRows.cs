namespace PoeWatch.Snmp.Walking;

/// <summary>
/// One value as a walk keeps it: sixteen bytes and no reference, so that hundreds cost the collector nothing. Name and octets are
/// places in <see cref="WalkRows.Bytes"/>.
/// </summary>
internal readonly struct StoredCell(SnmpType type, long number, int nameOffset, int nameLength)
{
    private readonly int _nameOffset = nameOffset;
    private readonly ushort _nameLength = unchecked((ushort)nameLength);
    private readonly byte _type = unchecked((byte)type);

    public SnmpType Type => (SnmpType)_type;

    /// <summary>The number; for octets, where they stand.</summary>
    public long Number { get; } = number;

    public int NameOffset => _nameOffset;

    public int NameLength => _nameLength;

    /// <summary>Where octets stand, as <see cref="Number"/> holds it.</summary>
    public static long Place(int offset, int length) => ((long)offset << 32) | (uint)length;

    public SnmpValue ValueIn(byte[] bytes) => Type switch
    {
        SnmpType.OctetString or SnmpType.ObjectIdentifier or SnmpType.IpAddress or SnmpType.Opaque or SnmpType.Undecodable =>
            new SnmpValue(Type, bytes, (int)(Number >> 32), unchecked((int)Number)),
        _ => new SnmpValue(Type, Number),
    };

    public Oid NameIn(byte[] bytes) => new(bytes, NameOffset, NameLength);
}

/// <summary>The cells of one column, in the agent's order.</summary>
internal sealed class StoredColumn
{
    private StoredCell[] _cells = [];

    public int Count { get; private set; }

    public bool IsComplete { get; set; }

    public ReadOnlySpan<StoredCell> Cells => new(_cells, 0, Count);

    public void Add(StoredCell cell)
    {
        if (Count == _cells.Length)
        {
            Array.Resize(ref _cells, Math.Max(64, 2 * Count));
        }

        _cells[Count++] = cell;
    }

    /// <summary>Forgets the cells, and their room too where one table was far larger than a switch's.</summary>
    public void Clear(int cellsKept)
    {
        Count = 0;
        IsComplete = false;
        _cells = _cells.Length > cellsKept ? [] : _cells;
    }
}

/// <summary>
/// The room in which a walk keeps what it was answered: the answers' own bytes one behind the other, and cells that point into them.
/// Used again by walk after walk. Not thread-safe.
/// </summary>
internal sealed class WalkRows
{
    /// <summary>Room that is kept for the next walk: a 48-port switch takes 8 kB of answers and 48 cells a column.</summary>
    private const int BytesKept = 64 * 1024;
    private const int CellsKept = 1024;

    private readonly List<StoredColumn> _columns = [];
    private StoredCell[] _instances = [];
    private int _used;

    public byte[] Bytes { get; private set; } = [];

    public int InstanceCount { get; private set; }

    /// <summary>How many of the bytes are in use: where the next ones will stand.</summary>
    public int Used => _used;

    public ReadOnlySpan<byte> NameOf(in StoredCell cell) => new(Bytes, cell.NameOffset, cell.NameLength);

    /// <summary>What stands behind the column in a cell's name.</summary>
    public ReadOnlySpan<byte> IndexOf(in StoredCell cell, Oid column)
    {
        int prefix = column.Encoded.Length;
        return new ReadOnlySpan<byte>(Bytes, cell.NameOffset + prefix, cell.NameLength - prefix);
    }

    public StoredColumn Column(int index) => _columns[index];

    public ref StoredCell Instance(int index) => ref _instances[index];

    /// <summary>Empties the room and makes it fit a request.</summary>
    public void Reset(int columns, int instances)
    {
        _used = 0;
        Bytes = Bytes.Length > BytesKept ? [] : Bytes;
        foreach (StoredColumn column in _columns)
        {
            column.Clear(CellsKept);
        }

        while (_columns.Count < columns)
        {
            _columns.Add(new StoredColumn());
        }

        _instances = _instances.Length >= instances ? _instances : new StoredCell[instances];
        _instances.AsSpan().Clear();
        InstanceCount = instances;
    }

    /// <summary>Takes bytes in and says where they stand.</summary>
    public int Keep(ReadOnlySpan<byte> bytes)
    {
        int offset = _used;
        if (Bytes.Length - offset < bytes.Length)
        {
            byte[] larger = new byte[Math.Max(8 * 1024, Math.Max(2 * Bytes.Length, offset + bytes.Length))];
            Bytes.AsSpan(0, offset).CopyTo(larger);
            Bytes = larger;
        }

        bytes.CopyTo(Bytes.AsSpan(offset));
        _used += bytes.Length;
        return offset;
    }

    /// <summary>Takes a variable in whose bytes stand elsewhere.</summary>
    public StoredCell Keep(VarBind varBind)
    {
        ReadOnlySpan<byte> name = varBind.Oid.Encoded;
        ReadOnlySpan<byte> octets = varBind.Value.Bytes;
        long number = octets.IsEmpty ? varBind.Value.RawNumber : StoredCell.Place(Keep(octets), octets.Length);
        return new StoredCell(varBind.Value.Type, number, Keep(name), name.Length);
    }
}
