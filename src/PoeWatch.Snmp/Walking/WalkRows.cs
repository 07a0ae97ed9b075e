namespace PoeWatch.Snmp.Walking;

/// <summary>
/// The room in which a walk keeps what it was answered: each column's cells side by side, and the bytes that some point into.
/// Used again by walk after walk. Not thread-safe while it is filled.
/// </summary>
internal sealed class WalkRows
{
    /// <summary>Room that is kept for the next walk: a 48-port switch fills some hundred cells.</summary>
    private const int BytesKept = 64 * 1024;
    private const int CellsKept = 4096;

    /// <summary>Rows that a column has room for before anything is known of it.</summary>
    private const int RowsExpected = 56;

    private StoredCell[] _cells = new StoredCell[512];

    // Where each column's cells begin, and behind the last one where its room ends.
    private int[] _starts = [0];
    private StoredCell[] _instances = [];
    private int[] _counts = [];
    private bool[] _isComplete = [];
    private int _columns;

    public byte[] Bytes { get; private set; } = [];

    /// <summary>How many of the bytes are in use: where the next ones will stand.</summary>
    public int Used { get; private set; }

    /// <summary>How many cells all columns have.</summary>
    public int CellCount { get; private set; }

    public ref StoredCell Instance(int index) => ref _instances[index];

    public int Count(int column) => _counts[column];

    public bool IsComplete(int column) => _isComplete[column];

    public void NoteEnd(int column, bool isComplete) => _isComplete[column] = isComplete;

    public ReadOnlySpan<byte> NameOf(in StoredCell cell) => new(Bytes, cell.NameOffset, cell.NameLength);

    /// <summary>What stands behind the column in a cell's name.</summary>
    public ReadOnlySpan<byte> IndexOf(in StoredCell cell, Oid column, Span<byte> room) => cell.Key != 0
        ? StoredCell.IndexOf(cell.Key, room)
        : NameOf(cell)[column.Encoded.Length..];

    /// <summary>Empties the room and makes it fit a request, and what is known of its columns.</summary>
    public void Reset(int columns, int instances, WalkShape? shape = null)
    {
        (_columns, CellCount, Used) = (columns, 0, 0);
        Bytes = Bytes.Length > BytesKept ? [] : Bytes;
        _cells = _cells.Length > CellsKept ? new StoredCell[512] : _cells;
        if (_counts.Length < columns)
        {
            _counts = new int[columns];
            _isComplete = new bool[columns];
            _starts = new int[columns + 1];
        }

        int start = 0;
        for (int i = 0; i < columns; i++)
        {
            _starts[i] = start;
            int known = shape is { IsKnown: true } ? shape.Rows(i) : -1;
            start += known < 0 ? RowsExpected : known + 1;
        }

        _starts[columns] = start;
        _cells = _cells.Length >= start ? _cells : new StoredCell[start];

        _counts.AsSpan().Clear();
        _isComplete.AsSpan().Clear();
        _instances = _instances.Length >= instances ? _instances : new StoredCell[instances];
        _instances.AsSpan().Clear();
    }

    public void Add(int column, in StoredCell cell)
    {
        int count = _counts[column];
        if (_starts[column] + count == _starts[column + 1])
        {
            Widen(column);
        }

        _cells[_starts[column] + count] = cell;
        _counts[column] = count + 1;
        CellCount++;
    }

    /// <summary>Adds every so many cells as long as their keys rise from one on and the column has room, and says how many.</summary>
    public int AddRising(int column, ReadOnlySpan<StoredCell> cells, int step, ulong key)
    {
        int count = _counts[column];
        Span<StoredCell> room = _cells.AsSpan((_starts[column] + count).._starts[column + 1]);
        int added = 0;
        for (int at = 0; at < cells.Length && added < room.Length && cells[at].Key > key; at += step)
        {
            key = cells[at].Key;
            room[added++] = cells[at];
        }

        _counts[column] = count + added;
        CellCount += added;
        return added;
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
        return new StoredCell(varBind.Value.Type, number, Keep(name), name.Length);
    }

    /// <summary>A column's rows in their order.</summary>
    public ReadOnlySpan<StoredCell> RowsOf(int column) => new(_cells, _starts[column], _counts[column]);

    /// <summary>A column's newest row; it must have one.</summary>
    public ref readonly StoredCell Newest(int column) => ref _cells[_starts[column] + _counts[column] - 1];

    /// <summary>Gives a column twice the room, and moves those behind it.</summary>
    private void Widen(int column)
    {
        int more = Math.Max(RowsExpected, _counts[column]);
        int end = _starts[_columns];
        StoredCell[] cells = _cells.Length >= end + more ? _cells : new StoredCell[Math.Max(2 * _cells.Length, end + more)];
        int behind = _starts[column + 1];
        _cells.AsSpan(behind, end - behind).CopyTo(cells.AsSpan(behind + more));
        if (cells != _cells)
        {
            _cells.AsSpan(0, behind).CopyTo(cells);
            _cells = cells;
        }

        for (int i = column + 1; i <= _columns; i++)
        {
            _starts[i] += more;
        }
    }
}
