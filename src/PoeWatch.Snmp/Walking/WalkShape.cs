namespace PoeWatch.Snmp.Walking;

/// <summary>
/// What the last whole walk of one request found of each column: how many rows, and which was the last. With it the next walk asks for
/// exactly so many, and sees by one more variable a table whether any row has come behind the last. Used by one walk at a time.
/// </summary>
internal sealed class WalkShape
{
    private readonly byte[][] _last;
    private readonly int[] _rows;
    private readonly int[] _endOf;

    public WalkShape(WalkRequest request)
    {
        Request = request;
        int columns = request.AllColumns.Length;
        _last = new byte[columns][];
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

    /// <summary>The column whose end shows this one's end too: one of the same table with the same last row. Itself, if it is the first.</summary>
    public int EndOf(int column) => _endOf[column];

    /// <summary>Takes in what a whole walk found.</summary>
    public void Learn(WalkRows rows)
    {
        IsKnown = true;
        for (int i = 0; i < _rows.Length; i++)
        {
            ReadOnlySpan<StoredCell> cells = rows.Column(i).Cells;
            ReadOnlySpan<byte> last = cells.IsEmpty ? [] : rows.IndexOf(cells[^1], Request.AllColumns[i]);
            _rows[i] = rows.Column(i).IsComplete ? cells.Length : -1;
            if (!last.SequenceEqual(_last[i]))
            {
                _last[i] = last.ToArray();
            }
        }

        for (int i = 0; i < _rows.Length; i++)
        {
            _endOf[i] = FirstLike(i);
        }
    }

    private int FirstLike(int column)
    {
        for (int i = 0; i < column; i++)
        {
            if (_rows[i] > 0 && Request.TableOf(i).SequenceEqual(Request.TableOf(column)) && _last[i].AsSpan().SequenceEqual(_last[column]))
            {
                return i;
            }
        }

        return column;
    }
}
