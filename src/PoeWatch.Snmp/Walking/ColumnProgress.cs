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
    private ulong _newestKey;

    public Oid Column { get; private set; }

    /// <summary>Bytes of the column's name, and where they are 8 to 16, its first and last eight: two comparisons tell its rows.</summary>
    public int NameLength { get; private set; }

    public ulong NameHead { get; private set; }

    public ulong NameTail { get; private set; }

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
        ReadOnlySpan<byte> name = column.Encoded;
        NameLength = name.Length;
        NameHead = name.Length is >= 8 and <= 16 ? BitConverter.ToUInt64(name) : 0;
        NameTail = name.Length is >= 8 and <= 16 ? BitConverter.ToUInt64(name[^8..]) : 0;
        _newestKey = 0;
        _rows = rows;
        _stored = stored;
        End = KnownEnd.None;
        SteppedBack = false;
        IsClosed = false;
    }

    /// <summary>True where a name begins with the column's. Two comparisons of eight bytes for most.</summary>
    public bool IsNamed(ReadOnlySpan<byte> name)
    {
        if (name.Length < NameLength)
        {
            return false;
        }

        return NameLength is >= 8 and <= 16
            ? BitConverter.ToUInt64(name) == NameHead && BitConverter.ToUInt64(name[(NameLength - 8)..]) == NameTail
            : name.StartsWith(Column.Encoded);
    }

    /// <summary>True where a cell lies in this column: otherwise it only says that the column has ended.</summary>
    public bool Holds(in StoredCell cell) =>
        cell.Type is not (SnmpType.EndOfMibView or SnmpType.NoSuchObject or SnmpType.NoSuchInstance) && IsNamed(_rows.NameOf(cell));

    /// <summary>True where the cell is a new row of this column; otherwise the column ends.</summary>
    /// <param name="cell">The cell.</param>
    /// <param name="key">Its key (<see cref="WalkAnswer.Keys"/>) where it is known to lie in this column; else 0.</param>
    public bool Take(in StoredCell cell, ulong key = 0)
    {
        bool rises;
        if (key != 0 && (_newestKey != 0 || Count == 0))
        {
            rises = key > _newestKey;
        }
        else if (Holds(cell))
        {
            rises = OidEncoding.Compare(_rows.IndexOf(cell, Column), NewestIndex) > 0;
        }
        else
        {
            Close(isComplete: true);
            return false;
        }

        if (!rises)
        {
            SteppedBack = true;
            Close(isComplete: false);
            return false;
        }

        _newest = cell;
        _newestKey = key;
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
