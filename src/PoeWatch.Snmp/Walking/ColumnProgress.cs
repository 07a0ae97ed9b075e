using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Walking;

/// <summary>What is known of a column's end beforehand.</summary>
internal enum KnownEnd
{
    /// <summary>Nothing: it is walked until it ends.</summary>
    None = 0,

    /// <summary>The last walk's last row; whether anything follows it now is still to be seen.</summary>
    Expected,

    /// <summary>Nothing follows that row.</summary>
    Confirmed,
}

/// <summary>How far one column is read. Belongs to one walk.</summary>
internal sealed class ColumnProgress
{
    private WalkRows _rows = new();
    private StoredColumn _stored = new();
    private StoredCell _newest;

    public Oid Column { get; private set; }

    public KnownEnd End { get; set; }

    public int Count => _stored.Count;

    public bool SteppedBack { get; private set; }

    public bool IsClosed { get; private set; }

    /// <summary>The name that the next row comes after.</summary>
    public ReadOnlySpan<byte> Cursor => Count == 0 ? Column.Encoded : _rows.NameOf(_newest);

    /// <summary>The index of the newest row, empty where there is none.</summary>
    public ReadOnlySpan<byte> NewestIndex => Count == 0 ? [] : _rows.IndexOf(_newest, Column);

    public void Begin(Oid column, WalkRows rows, StoredColumn stored)
    {
        Column = column;
        _rows = rows;
        _stored = stored;
        End = KnownEnd.None;
        SteppedBack = false;
        IsClosed = false;
    }

    /// <summary>True where a cell lies in this column: otherwise it only says that the column has ended.</summary>
    public bool Holds(in StoredCell cell) =>
        cell.Type is not (SnmpType.EndOfMibView or SnmpType.NoSuchObject or SnmpType.NoSuchInstance)
        && _rows.NameOf(cell).StartsWith(Column.Encoded);

    /// <summary>True where the cell is a new row of this column; otherwise the column ends.</summary>
    public bool Take(in StoredCell cell)
    {
        if (!Holds(cell))
        {
            Close(isComplete: true);
            return false;
        }

        if (OidEncoding.Compare(_rows.IndexOf(cell, Column), NewestIndex) <= 0)
        {
            SteppedBack = true;
            Close(isComplete: false);
            return false;
        }

        _newest = cell;
        _stored.Add(cell);
        return true;
    }

    /// <summary>Nothing more is asked of this column.</summary>
    public void Close(bool isComplete)
    {
        IsClosed = true;
        _stored.IsComplete = isComplete;
    }
}
