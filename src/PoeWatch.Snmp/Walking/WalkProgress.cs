using System.Runtime.InteropServices;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Walking;

/// <summary>What an answer was worth to a walk.</summary>
internal enum Taken
{
    /// <summary>Not a whole list of variables: nothing of it was taken.</summary>
    Damaged = 0,

    /// <summary>A list without variables.</summary>
    Empty,

    /// <summary>Values, or the word that there are none.</summary>
    Something,
}

/// <summary>
/// The arithmetic of a walk: what an answer means, and how far the columns are. Pure: no clock, no socket. Each taken answer
/// either moves a cursor strictly forward, ends a column or is refused, so a walk cannot turn in circles. Used again by walk after walk.
/// </summary>
internal sealed class WalkProgress
{
    private ColumnProgress[] _columns = [];
    private WalkRequest _request = null!;
    private WalkRows _rows = null!;

    /// <summary>What the present request asks for.</summary>
    public WalkPlan Plan { get; } = new();

    public int Cells => _rows.CellCount;

    public ReadOnlySpan<ColumnProgress> Columns => _columns;

    public bool SawStepBack { get; private set; }

    /// <summary>True where the agent refused one of the names with an error.</summary>
    public bool HasAbandoned { get; private set; }

    public bool IsDone
    {
        get
        {
            for (int i = 0; i < _request.AllColumns.Length; i++)
            {
                if (!_columns[i].IsClosed)
                {
                    return false;
                }
            }

            return Plan.HasAllInstances;
        }
    }

    /// <param name="request">What to walk.</param>
    /// <param name="rows">Where to keep what comes; made to fit the request here.</param>
    /// <param name="shape">What the last walk found.</param>
    public void Begin(WalkRequest request, WalkRows rows, WalkShape shape)
    {
        _request = request;
        _rows = rows;
        rows.Reset(request.AllColumns.Length, request.AllInstances.Length, shape);
        _columns = _columns.Length >= request.AllColumns.Length ? _columns : new ColumnProgress[request.AllColumns.Length];
        for (int i = 0; i < request.AllColumns.Length; i++)
        {
            _columns[i] = new ColumnProgress
            {
                End = shape.IsKnown && shape.Rows(i) > 0 ? KnownEnd.Expected : KnownEnd.None,
                LastKey = shape.LastKey(i),
            };
        }

        (SawStepBack, HasAbandoned) = (false, false);
        Plan.Begin(request, shape, rows);
    }

    /// <summary>Decides on the next request.</summary>
    public void PlanNext(WalkState state) => Plan.Next(state, _columns);

    /// <summary>Takes in the content of an answer's variable-bindings list and tells the state how full it was.</summary>
    public Taken Take(ReadOnlySpan<byte> list, WalkState state)
    {
        WalkAnswer answer = WalkAnswer.OfThread;
        if (!answer.TryDecode(list, _rows.Used, Plan.Singles.Count, Plan.RepeatedNames))
        {
            return Taken.Damaged;
        }

        if (answer.Count == 0)
        {
            return Taken.Empty;
        }

        if (answer.NeedsBytes)
        {
            _rows.Keep(list);
        }

        ReadOnlySpan<StoredCell> cells = answer.Cells;
        int singles = Math.Min(Plan.Singles.Count, cells.Length);
        for (int i = 0; i < singles; i++)
        {
            TakeSingle(Plan.Singles[i], cells[i]);
        }

        TakeRows(cells[singles..], state);
        CloseAtKnownEnds();
        return Taken.Something;
    }

    /// <summary>The agent blames one of the names asked for: give that one up and go on. False where it blames none.</summary>
    public bool GiveUp(int errorIndex)
    {
        int index = errorIndex - 1;
        if (index < 0 || index >= Plan.Singles.Count + Plan.Repeated.Count)
        {
            return false;
        }

        AskedSingle asked = index < Plan.Singles.Count
            ? Plan.Singles[index]
            : new AskedSingle(AskedFor.Row, Plan.Repeated[index - Plan.Singles.Count]);
        switch (asked.What)
        {
            case AskedFor.Instance:
                Plan.InstanceIsDone(asked.Index);
                HasAbandoned = true;
                break;
            case AskedFor.End:
                ForgetEnd(asked.Index);
                break;
            default:
                Close(asked.Index, isComplete: false);
                HasAbandoned = true;
                break;
        }

        return true;
    }

    /// <summary>Walks on as if nothing were known of the columns' ends: asks for less in one request.</summary>
    public void ForgetEnds()
    {
        for (int i = 0; i < _request.AllColumns.Length; i++)
        {
            _columns[i].End = KnownEnd.None;
        }
    }

    private void TakeSingle(AskedSingle asked, in StoredCell cell)
    {
        switch (asked.What)
        {
            case AskedFor.Instance:
                bool found = cell.Type != SnmpType.EndOfMibView
                    && _rows.NameOf(cell).SequenceEqual(_request.AllInstances[asked.Index].Encoded);
                _rows.Instance(asked.Index) = found ? cell : new StoredCell(SnmpType.NoSuchInstance, 0, 0, 0);
                Plan.InstanceIsDone(asked.Index);
                break;
            case AskedFor.End when Holds(asked.Index, cell):
                ForgetEnd(asked.Index);
                break;
            case AskedFor.End:
                for (int i = 0; i < _request.AllColumns.Length; i++)
                {
                    bool follows = Plan.Shape.EndOf(i) == asked.Index && _columns[i].End == KnownEnd.Expected;
                    _columns[i].End = follows ? KnownEnd.Confirmed : _columns[i].End;
                }

                break;
            default:
                TakeCell(asked.Index, cell);
                break;
        }
    }

    private void ForgetEnd(int column)
    {
        for (int i = 0; i < _request.AllColumns.Length; i++)
        {
            _columns[i].End = Plan.Shape.EndOf(i) == column ? KnownEnd.None : _columns[i].End;
        }
    }

    private void TakeRows(ReadOnlySpan<StoredCell> cells, WalkState state)
    {
        ReadOnlySpan<int> asked = CollectionsMarshal.AsSpan(Plan.Repeated);
        int columns = asked.Length;
        if (columns == 0)
        {
            return;
        }

        ReadOnlySpan<StoredCell> taken = cells[..Math.Clamp(_request.MaxCells - Cells, 0, cells.Length)];
        bool anyClosed = false;
        for (int i = 0; i < columns; i++)
        {
            anyClosed |= i < taken.Length && !TakeColumn(asked[i], taken[i..], columns);
        }

        // Near the end of a table an answer may rightly be short: that says nothing about what fits.
        if (cells.Length >= columns * Plan.Repetitions)
        {
            state.AnsweredInFull(Plan.Repetitions);
        }
        else if (!anyClosed)
        {
            state.AnsweredInPart(cells.Length / columns);
        }
    }

    /// <summary>Takes every so many cells for one column, as far as it goes. False where it ends with one of them.</summary>
    private bool TakeColumn(int column, ReadOnlySpan<StoredCell> cells, int step)
    {
        ref ColumnProgress progress = ref _columns[column];
        int at = 0;
        while (at < cells.Length && !progress.IsClosed)
        {
            // As almost all cells are: rows behind the newest one, all with keys.
            int rising = progress.NewestKey == 0 ? 0 : _rows.AddRising(column, cells[at..], step, progress.NewestKey);
            if (rising > 0)
            {
                at += rising * step;
                progress.NewestKey = cells[at - step].Key;
            }
            else if (TakeCell(column, cells[at]))
            {
                at += step;
            }
            else
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>True where the cell is a new row of the column; otherwise the column ends.</summary>
    private bool TakeCell(int column, in StoredCell cell)
    {
        ref ColumnProgress progress = ref _columns[column];
        bool rises;
        if (cell.Key != 0 && (progress.NewestKey != 0 || _rows.Count(column) == 0))
        {
            rises = cell.Key > progress.NewestKey;
        }
        else if (Holds(column, cell))
        {
            rises = Rises(column, cell);
        }
        else
        {
            Close(column, isComplete: true);
            return false;
        }

        if (!rises)
        {
            SawStepBack = true;
            Close(column, isComplete: false);
            return false;
        }

        progress.NewestKey = cell.Key;
        _rows.Add(column, cell);
        return true;
    }

    /// <summary>True where a cell lies in a column: otherwise it only says that the column has ended.</summary>
    private bool Holds(int column, in StoredCell cell) =>
        cell.Key != 0
        || (cell.Type is not (SnmpType.EndOfMibView or SnmpType.NoSuchObject or SnmpType.NoSuchInstance)
            && _rows.NameOf(cell).StartsWith(_request.AllColumns[column].Encoded));

    /// <summary>The comparison for names of any kind.</summary>
    private bool Rises(int column, in StoredCell cell)
    {
        Span<byte> room = stackalloc byte[sizeof(ulong)];
        Span<byte> otherRoom = stackalloc byte[sizeof(ulong)];
        Oid name = _request.AllColumns[column];
        ReadOnlySpan<byte> newest = _rows.Count(column) == 0 ? [] : _rows.IndexOf(_rows.Newest(column), name, room);
        return OidEncoding.Compare(_rows.IndexOf(cell, name, otherRoom), newest) > 0;
    }

    /// <summary>Nothing more is asked of a column.</summary>
    private void Close(int column, bool isComplete)
    {
        _columns[column].IsClosed = true;
        _rows.NoteEnd(column, isComplete);
    }

    private void CloseAtKnownEnds()
    {
        Span<byte> room = stackalloc byte[sizeof(ulong)];
        for (int i = 0; i < _request.AllColumns.Length; i++)
        {
            ref ColumnProgress column = ref _columns[i];
            if (column.End != KnownEnd.Confirmed || column.IsClosed || _rows.Count(i) == 0)
            {
                continue;
            }

            bool isThere = column.NewestKey != 0 || column.LastKey != 0
                ? column.NewestKey == column.LastKey
                : _rows.IndexOf(_rows.Newest(i), _request.AllColumns[i], room).SequenceEqual(Plan.Shape.Last(i, []));
            if (isThere)
            {
                Close(i, isComplete: true);
            }
        }
    }
}
