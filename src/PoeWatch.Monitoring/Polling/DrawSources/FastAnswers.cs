using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>The columns of one poll, found by their OID. Ends with the walks that it looks into.</summary>
internal sealed class FastAnswers
{
    private readonly WalkColumn[] _columns;
    private readonly int _polled;

    public FastAnswers(params IEnumerable<WalkColumn> columns)
    {
        _columns = [.. columns];
        _polled = _columns.Length;
    }

    private FastAnswers(WalkResult poll, WalkResult? survey)
    {
        _polled = poll.Columns.Count;
        _columns = new WalkColumn[_polled + (survey?.Columns.Count ?? 0)];
        for (var i = 0; i < _columns.Length; i++)
        {
            _columns[i] = i < _polled ? poll.Columns[i] : survey!.Columns[i - _polled];
        }
    }

    public static FastAnswers None { get; } = new();

    /// <summary>A poll and the survey that followed it: that has read the columns of all sources, the poll only those that were in use before.</summary>
    public static FastAnswers Of(WalkResult poll, WalkResult? survey) => new(poll, survey);

    /// <summary>True where the column was read together with the agent's up time, and not by a survey, which comes seconds after it.</summary>
    public bool IsPolled(Oid oid)
    {
        for (var at = 0; at < _polled; at++)
        {
            if (_columns[at].Column == oid)
            {
                return true;
            }
        }

        return false;
    }

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
