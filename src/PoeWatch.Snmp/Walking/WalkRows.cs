namespace PoeWatch.Snmp.Walking;

/// <summary>
/// The room in which a walk keeps what it was answered: cells in the order of their arrival, and the bytes that some point into.
/// Used again by walk after walk. Not thread-safe while it is filled.
/// </summary>
internal sealed class WalkRows
{
    /// <summary>Room that is kept for the next walk: a 48-port switch fills some hundred cells.</summary>
    private const int BytesKept = 64 * 1024;
    private const int CellsKept = 4096;

    private StoredCell[] _cells = new StoredCell[512];
    private StoredCell[] _instances = [];
    private int[] _counts = [];
    private bool[] _isComplete = [];
    private int[] _order = [];
    private int _columns;
    private int _cellCount;
    private volatile bool _isOrdered;

    public byte[] Bytes { get; private set; } = [];

    /// <summary>How many of the bytes are in use: where the next ones will stand.</summary>
    public int Used { get; private set; }

    public int CellCount => _cellCount;

    public ReadOnlySpan<StoredCell> Cells => new(_cells, 0, _cellCount);

    public ref StoredCell Instance(int index) => ref _instances[index];

    public int Count(int column) => _counts[column];

    public bool IsComplete(int column) => _isComplete[column];

    public void NoteEnd(int column, bool isComplete) => _isComplete[column] = isComplete;

    public ReadOnlySpan<byte> NameOf(in StoredCell cell) => new(Bytes, cell.NameOffset, cell.NameLength);

    /// <summary>What stands behind the column in a cell's name.</summary>
    public ReadOnlySpan<byte> IndexOf(in StoredCell cell, Oid column, Span<byte> room) => cell.Key != 0
        ? StoredCell.IndexOf(cell.Key, room)
        : NameOf(cell)[column.Encoded.Length..];

    /// <summary>Empties the room and makes it fit a request.</summary>
    public void Reset(int columns, int instances)
    {
        (_columns, _cellCount, Used, _isOrdered) = (columns, 0, 0, false);
        Bytes = Bytes.Length > BytesKept ? [] : Bytes;
        _cells = _cells.Length > CellsKept ? new StoredCell[512] : _cells;
        _order = _order.Length > CellsKept ? [] : _order;
        if (_counts.Length < columns)
        {
            _counts = new int[columns];
            _isComplete = new bool[columns];
        }

        _counts.AsSpan().Clear();
        _isComplete.AsSpan().Clear();
        _instances = _instances.Length >= instances ? _instances : new StoredCell[instances];
        _instances.AsSpan().Clear();
    }

    public void Add(int column, in StoredCell cell)
    {
        if (_cellCount == _cells.Length)
        {
            Array.Resize(ref _cells, 2 * _cellCount);
        }

        _cells[_cellCount++] = cell with { Column = (byte)column };
        _counts[column]++;
    }

    /// <summary>Takes bytes in and says where they stand.</summary>
    public int Keep(ReadOnlySpan<byte> bytes)
    {
        int offset = Used;
        if (Bytes.Length - offset < bytes.Length)
        {
            byte[] larger = new byte[Math.Max(4 * 1024, Math.Max(2 * Bytes.Length, offset + bytes.Length))];
            Bytes.AsSpan(0, offset).CopyTo(larger);
            Bytes = larger;
        }

        bytes.CopyTo(Bytes.AsSpan(offset));
        Used += bytes.Length;
        return offset;
    }

    /// <summary>Takes a variable in whose bytes stand elsewhere.</summary>
    public StoredCell Keep(VarBind varBind)
    {
        ReadOnlySpan<byte> name = varBind.Oid.Encoded;
        ReadOnlySpan<byte> octets = varBind.Value.Bytes;
        long number = octets.IsEmpty ? varBind.Value.RawNumber : StoredCell.Place(Keep(octets), octets.Length);
        return new StoredCell(varBind.Value.Type, number, 0, Keep(name), name.Length);
    }

    /// <summary>Where in <see cref="Cells"/> a column's rows are, in their order.</summary>
    public ReadOnlySpan<int> RowsOf(int column)
    {
        if (!_isOrdered)
        {
            PutInOrder();
        }

        int start = 0;
        for (int i = 0; i < column; i++)
        {
            start += _counts[i];
        }

        return new ReadOnlySpan<int>(_order, start, _counts[column]);
    }

    private void PutInOrder()
    {
        int[] order = _order.Length >= _cellCount ? _order : new int[_cells.Length];
        Span<int> next = stackalloc int[_columns];
        for (int i = 1; i < _columns; i++)
        {
            next[i] = next[i - 1] + _counts[i - 1];
        }

        for (int i = 0; i < _cellCount; i++)
        {
            order[next[_cells[i].Column]++] = i;
        }

        _order = order;
        _isOrdered = true;
    }
}
