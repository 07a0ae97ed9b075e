namespace PoeWatch.Snmp.Walking;

/// <summary>
/// What the last whole walk of one request found of each column: how many rows, and which was the last. With it the next walk asks for
/// exactly so many, and sees by one more variable a table whether any row has come behind the last. Used by one walk at a time.
/// </summary>
internal sealed class WalkShape
{
    // One array, and names as keys: a few of these are kept of each of thousands of agents.
    private readonly ColumnShape[] _columns;

    public WalkShape(WalkRequest request)
    {
        Request = request;
        _columns = new ColumnShape[request.AllColumns.Length];
        _columns.AsSpan().Fill(new ColumnShape { Rows = -1 });
    }

    public WalkRequest Request { get; }

    /// <summary>True once a whole walk has been seen.</summary>
    public bool IsKnown { get; private set; }

    /// <summary>Rows of a column; negative where unknown.</summary>
    public int Rows(int column) => _columns[column].Rows;

    /// <summary>The index of a column's last row, encoded; empty where it has none.</summary>
    /// <param name="room">Eight bytes for it.</param>
    public ReadOnlySpan<byte> Last(int column, Span<byte> room) => _columns[column].Last(room);

    /// <summary>That index as a key; 0 where it has none.</summary>
    public ulong LastKey(int column) => _columns[column].LastKey;

    /// <summary>The column whose end shows this one's end too: one of the same table with the same last row. Itself, if it is the first.</summary>
    public int EndOf(int column) => _columns[column].EndOf;

    /// <summary>Takes in what a whole walk found.</summary>
    public void Learn(WalkRows rows)
    {
        bool changed = !IsKnown;
        IsKnown = true;
        Span<byte> room = stackalloc byte[sizeof(ulong)];
        for (int i = 0; i < _columns.Length; i++)
        {
            ref ColumnShape column = ref _columns[i];
            ReadOnlySpan<StoredCell> found = rows.RowsOf(i);
            int count = rows.IsComplete(i) ? found.Length : -1;
            changed |= column.Rows != count;
            column.Rows = count;
            ulong key = found.IsEmpty ? 0 : found[^1].Key;
            if (key != 0 || found.IsEmpty)
            {
                changed |= key != column.LastKey || column.LongLast is not null;
                (column.LastKey, column.LongLast) = (key, null);
                continue;
            }

            ReadOnlySpan<byte> last = rows.IndexOf(found[^1], Request.AllColumns[i], room);
            if (column.LastKey != 0 || !last.SequenceEqual(column.LongLast))
            {
                (column.LastKey, column.LongLast) = (0, last.ToArray());
                changed = true;
            }
        }

        for (int i = 0; i < _columns.Length && changed; i++)
        {
            _columns[i].EndOf = FirstLike(i);
        }
    }

    private int FirstLike(int column)
    {
        for (int i = 0; i < column; i++)
        {
            if (_columns[i].Rows > 0 && _columns[i].HasSameLast(_columns[column]) && Request.Names[i].Table.SequenceEqual(Request.Names[column].Table))
            {
                return i;
            }
        }

        return column;
    }

    private struct ColumnShape
    {
        public int Rows { get; set; }

        public int EndOf { get; set; }

        /// <summary>The last row's index where a key has room for it, else 0.</summary>
        public ulong LastKey { get; set; }

        /// <summary>The last row's index where a key has no room for it, else null.</summary>
        public byte[]? LongLast { get; set; }

        public readonly ReadOnlySpan<byte> Last(Span<byte> room) => LastKey != 0 ? StoredCell.IndexOf(LastKey, room) : LongLast;

        public readonly bool HasSameLast(in ColumnShape other) => LastKey == other.LastKey && LongLast.AsSpan().SequenceEqual(other.LongLast);
    }
}
