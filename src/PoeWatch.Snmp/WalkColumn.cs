using System.Collections;
using PoeWatch.Snmp.Walking;

namespace PoeWatch.Snmp;

/// <summary>
/// One column as read, in the agent's order. It looks into a <see cref="WalkResult"/> and ends with it.
/// Going through the rows by <see cref="Read"/> allocates nothing.
/// </summary>
public readonly struct WalkColumn
{
    private readonly WalkResult _result;
    private readonly int _index;

    internal WalkColumn(WalkResult result, int index)
    {
        _ = result.Request.Columns[index];
        _result = result;
        _index = index;
    }

    public Oid Column => _result.Request.Columns[_index];

    /// <summary>True where the agent said that nothing follows: only then is an absent row a fact.</summary>
    public bool IsComplete => _result.Rows.IsComplete(_index);

    /// <summary>How many rows there are.</summary>
    public int Length => _result.Rows.Count(_index);

    /// <summary>The rows as variables: name and value.</summary>
    public WalkCells Cells => new(this);

    /// <summary>What stands behind the column in a row's name. False where the destination is too short for it.</summary>
    public bool TryGetIndex(int row, Span<uint> destination, out int count) =>
        Oid.TryReadNumbers(EncodedIndex(row, stackalloc byte[sizeof(ulong)]), destination, out count);

    /// <summary>A row's whole name; one allocation.</summary>
    public Oid Name(int row)
    {
        ReadOnlySpan<byte> index = EncodedIndex(row, stackalloc byte[sizeof(ulong)]);
        byte[] name = [.. Column.Encoded, .. index];
        return new Oid(name, 0, name.Length);
    }

    public SnmpValue Value(int row) => Cell(row).ValueIn(_result.Rows.Bytes);

    /// <summary>Goes through the rows, from before the first: <c>for (var rows = column.Read(); rows.Next();)</c>.</summary>
    public WalkColumnReader Read() => new(_result.Rows, _index, Column);

    /// <summary>A column made by hand, for code that reads columns without an agent behind them.</summary>
    public static WalkColumn Of(Oid column, IEnumerable<VarBind> cells, bool isComplete = true)
    {
        ArgumentNullException.ThrowIfNull(cells);
        WalkRows rows = new();
        rows.Reset(1, 0);
        foreach (VarBind cell in cells)
        {
            rows.Add(0, rows.Keep(cell));
        }

        rows.NoteEnd(0, isComplete);
        WalkEnding ending = isComplete ? WalkEnding.Complete : WalkEnding.RequestFailed;
        return new WalkColumn(new WalkResult(new WalkRequest([column]), rows, null) { Ending = ending, HasAnswer = true }, 0);
    }

    private ref readonly StoredCell Cell(int row) => ref _result.Rows.RowsOf(_index)[row];

    private ReadOnlySpan<byte> EncodedIndex(int row, Span<byte> room) => _result.Rows.IndexOf(Cell(row), Column, room);
}

/// <summary>One row of a column after the other. Looks into a <see cref="WalkResult"/> and ends with it.</summary>
public ref struct WalkColumnReader
{
    private readonly ReadOnlySpan<StoredCell> _cells;
    private readonly WalkRows _rows;
    private readonly Oid _column;
    private int _row = -1;

    internal WalkColumnReader(WalkRows rows, int index, Oid column)
    {
        _cells = rows.RowsOf(index);
        _rows = rows;
        _column = column;
    }

    /// <summary>The row's value.</summary>
    public readonly SnmpValue Value => _cells[_row].ValueIn(_rows.Bytes);

    /// <summary>Goes to the next row; false where there is none.</summary>
    public bool Next() => ++_row < _cells.Length;

    /// <summary>The row's index as numbers. False where the destination is too short for it.</summary>
    public readonly bool TryGetIndex(Span<uint> destination, out int count)
    {
        ref readonly StoredCell cell = ref _cells[_row];
        ulong key = cell.Key;
        if (key == 0)
        {
            return Oid.TryReadNumbers(_rows.IndexOf(cell, _column, []), destination, out count);
        }

        count = (int)(key & 0xFF);
        if (count > destination.Length)
        {
            count = 0;
            return false;
        }

        for (int i = 0; i < count; i++)
        {
            destination[i] = (uint)(key >> 56);
            key <<= 8;
        }

        return true;
    }

    /// <summary>The number of any numeric type, as <see cref="SnmpValue.TryGetInt64"/> has it.</summary>
    public readonly bool TryGetInt64(out long number)
    {
        ref readonly StoredCell cell = ref _cells[_row];
        number = cell.Number;
        return cell.Type is SnmpType.Integer32 or SnmpType.Counter32 or SnmpType.Gauge32 or SnmpType.TimeTicks || Value.TryGetInt64(out number);
    }
}

/// <summary>The rows of a column as variables. Looks into a <see cref="WalkResult"/> and ends with it.</summary>
public readonly struct WalkCells : IReadOnlyList<VarBind>
{
    private readonly WalkColumn _column;

    internal WalkCells(WalkColumn column) => _column = column;

    public int Length => _column.Length;

    public bool IsEmpty => Length == 0;

    int IReadOnlyCollection<VarBind>.Count => Length;

    public VarBind this[int row] => new(_column.Name(row), _column.Value(row));

    /// <summary>One allocation a pass; where that counts, go by row.</summary>
    public IEnumerator<VarBind> GetEnumerator()
    {
        for (int row = 0; row < Length; row++)
        {
            yield return this[row];
        }
    }

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
