namespace PoeWatch.Snmp.Walking;

/// <summary>
/// What the last whole walk of one request found of each column: how many rows, and which was the last. With it the next walk asks for
/// exactly so many, and sees by one more variable a table whether any row has come behind the last. Used by one walk at a time.
/// </summary>
internal sealed class WalkShape
{
    private readonly byte[][] _last;
    private readonly ulong[] _lastKeys;
    private readonly int[] _rows;
    private readonly int[] _endOf;

    public WalkShape(WalkRequest request)
    {
        Request = request;
        int columns = request.AllColumns.Length;
        _last = new byte[columns][];
        _lastKeys = new ulong[columns];
        _rows = new int[columns];
        _endOf = new int[columns];
        Array.Fill(_last, []);
        Array.Fill(_rows, -1);
    }

    public WalkRequest Request { get; }

    /// <summary>True once a whole walk has been seen.</summary>
    public bool IsKnown { get; private set; }

    /// <summary>Rows of a column; negative where unknown.</summary>
    public int Rows(int column) => _rows[column];

    /// <summary>The index of a column's last row, encoded.</summary>
    public ReadOnlySpan<byte> Last(int column) => _last[column];

    /// <summary>That index as a key; 0 where it has none.</summary>
    public ulong LastKey(int column) => _lastKeys[column];

    /// <summary>The column whose end shows this one's end too: one of the same table with the same last row. Itself, if it is the first.</summary>
    public int EndOf(int column) => _endOf[column];

    /// <summary>Takes in what a whole walk found.</summary>
    public void Learn(WalkRows rows)
    {
        bool changed = !IsKnown;
        IsKnown = true;
        Span<byte> room = stackalloc byte[sizeof(ulong)];
        for (int i = 0; i < _rows.Length; i++)
        {
            ReadOnlySpan<StoredCell> found = rows.RowsOf(i);
            int count = rows.IsComplete(i) ? found.Length : -1;
            changed |= _rows[i] != count;
            _rows[i] = count;
            ulong key = found.IsEmpty ? 0 : found[^1].Key;
            if (key != 0 && key == _lastKeys[i])
            {
                continue;
            }

            _lastKeys[i] = key;
            ReadOnlySpan<byte> last = found.IsEmpty ? [] : rows.IndexOf(found[^1], Request.AllColumns[i], room);
            if (!last.SequenceEqual(_last[i]))
            {
                _last[i] = last.ToArray();
                changed = true;
            }
        }

        for (int i = 0; i < _rows.Length && changed; i++)
        {
            _endOf[i] = FirstLike(i);
        }
    }

    private int FirstLike(int column)
    {
        for (int i = 0; i < column; i++)
        {
            if (_rows[i] > 0 && Request.Names[i].Table.SequenceEqual(Request.Names[column].Table) && _last[i].AsSpan().SequenceEqual(_last[column]))
            {
                return i;
            }
        }

        return column;
    }
}
