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
    public bool IsComplete => Stored.IsComplete;

    /// <summary>How many rows there are.</summary>
    public int Length => Stored.Count;

    /// <summary>The rows as variables: name and value.</summary>
    public WalkCells Cells => new(this);

    internal StoredColumn Stored => _result.Rows.Column(_index);

    /// <summary>What stands behind the column in a row's name. False where the destination is too short for it.</summary>
    public bool TryGetIndex(int row, Span<uint> destination, out int count) => Name(row).TryGetIndex(Column, destination, out count);

    public Oid Name(int row) => Stored.Cells[row].NameIn(_result.Rows.Bytes);

    public SnmpValue Value(int row) => Stored.Cells[row].ValueIn(_result.Rows.Bytes);

    /// <summary>Goes through the rows, from before the first: <c>for (var rows = column.Read(); rows.Next();)</c>.</summary>
    public WalkColumnReader Read() => new(_result.Rows, Stored, Column.Encoded.Length);

    /// <summary>A column made by hand, for code that reads columns without an agent behind them.</summary>
    public static WalkColumn Of(Oid column, IEnumerable<VarBind> cells, bool isComplete = true)
    {
        ArgumentNullException.ThrowIfNull(cells);
        WalkRows rows = new();
        rows.Reset(1, 0);
        foreach (VarBind cell in cells)
        {
            rows.Column(0).Add(rows.Keep(cell));
        }

        rows.Column(0).IsComplete = isComplete;
        WalkEnding ending = isComplete ? WalkEnding.Complete : WalkEnding.RequestFailed;
        return new WalkColumn(new WalkResult(new WalkRequest([column]), rows, null) { Ending = ending, HasAnswer = true }, 0);
    }
}

/// <summary>One row of a column after the other. Looks into a <see cref="WalkResult"/> and ends with it.</summary>
public ref struct WalkColumnReader
{
    private readonly ReadOnlySpan<StoredCell> _cells;
    private readonly byte[] _bytes;
    private readonly int _columnLength;
    private int _row = -1;

    internal WalkColumnReader(WalkRows rows, StoredColumn stored, int columnLength)
    {
        _cells = stored.Cells;
        _bytes = rows.Bytes;
        _columnLength = columnLength;
    }

    /// <summary>The row's value.</summary>
    public readonly SnmpValue Value => _cells[_row].ValueIn(_bytes);

    /// <summary>The encoded index, what stands behind the column in the row's name.</summary>
    public readonly ReadOnlySpan<byte> EncodedIndex =>
        new(_bytes, _cells[_row].NameOffset + _columnLength, _cells[_row].NameLength - _columnLength);

    /// <summary>Goes to the next row; false where there is none.</summary>
    public bool Next() => ++_row < _cells.Length;

    /// <summary>The row's index as numbers. False where the destination is too short for it.</summary>
    public readonly bool TryGetIndex(Span<uint> destination, out int count) => Oid.TryReadNumbers(EncodedIndex, destination, out count);

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
