using System.Collections;
using PoeWatch.Snmp.Walking;

namespace PoeWatch.Snmp;

/// <summary>
/// One column as read, in the agent's order. It looks into a <see cref="WalkResult"/> and ends with it. Going through the rows
/// allocates nothing: <c>for (int row = 0; row &lt; column.Length; row++)</c> with <see cref="TryGetIndex"/> and <see cref="Value"/>.
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
