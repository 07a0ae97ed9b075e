using System.Collections.Immutable;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>The columns of one poll, found by their OID. Ends with the walks that it looks into.</summary>
internal sealed class FastAnswers
{
    private readonly ImmutableArray<WalkColumn> _columns;

    public FastAnswers(params IEnumerable<WalkColumn> columns) => _columns = [.. columns];

    public static FastAnswers None { get; } = new();

    /// <summary>The column, or null where it was not asked for.</summary>
    public WalkColumn? Column(Oid oid)
    {
        foreach (WalkColumn column in _columns)
        {
            if (column.Column == oid)
            {
                return column;
            }
        }

        return null;
    }

    /// <summary>The values of a column by index, in the agent's order; none where it was not asked for or not answered. Allocates nothing.</summary>
    public FastCells Cells(Oid oid) => new(Column(oid));
}

/// <summary>The values of one column of a poll. Ends with the walk that it looks into.</summary>
internal readonly struct FastCells(WalkColumn? column)
{
    public Enumerator GetEnumerator() => new(column);

    /// <summary>Goes from value to value; those whose index is none of a table are passed over.</summary>
    internal struct Enumerator(WalkColumn? column)
    {
        private readonly WalkColumn _column = column.GetValueOrDefault();
        private readonly int _rows = column?.Length ?? 0;
        private int _row = -1;

        public (CellIndex Index, SnmpValue Value) Current { get; private set; }

        public bool MoveNext()
        {
            Span<uint> numbers = stackalloc uint[CellIndex.CountMax];
            while (++_row < _rows)
            {
                if (_column.TryGetIndex(_row, numbers, out var count) && count is >= 1 and <= CellIndex.CountMax)
                {
                    Current = (CellIndex.Of(numbers[..count]), _column.Value(_row));
                    return true;
                }
            }

            return false;
        }
    }
}
