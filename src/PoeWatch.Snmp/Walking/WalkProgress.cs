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
    private readonly WalkAnswer _answer = new();
    private readonly List<ColumnProgress> _columns = [];
    private WalkRequest _request = null!;
    private WalkRows _rows = null!;

    /// <summary>What the present request asks for.</summary>
    public WalkPlan Plan { get; } = new();

    public int Cells { get; private set; }

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
        rows.Reset(request.AllColumns.Length, request.AllInstances.Length);
        for (int i = 0; i < request.AllColumns.Length; i++)
        {
            if (i == _columns.Count)
            {
                _columns.Add(new ColumnProgress());
            }

            _columns[i].Begin(request.AllColumns[i], rows, rows.Column(i));
            _columns[i].End = shape.IsKnown && shape.Rows(i) > 0 ? KnownEnd.Expected : KnownEnd.None;
        }

        (Cells, SawStepBack, HasAbandoned) = (0, false, false);
        Plan.Begin(request, shape, _columns);
    }

    /// <summary>Takes in the content of an answer's variable-bindings list and tells the state how full it was.</summary>
    public Taken Take(ReadOnlySpan<byte> list, WalkState state)
    {
        if (!_answer.TryDecode(list, _rows.Used, Plan.Singles.Count, Plan.RepeatedColumns))
        {
            return Taken.Damaged;
        }

        if (_answer.Count == 0)
        {
            return Taken.Empty;
        }

        _rows.Keep(list);
        ReadOnlySpan<StoredCell> cells = _answer.Cells;
        int singles = Math.Min(Plan.Singles.Count, cells.Length);
        for (int i = 0; i < singles; i++)
        {
            TakeSingle(Plan.Singles[i], cells[i]);
        }

        TakeRows(cells[singles..], _answer.Keys[singles..], state);
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
                _columns[asked.Index].Close(isComplete: false);
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
            case AskedFor.End when _columns[asked.Index].Holds(cell):
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
                TakeCell(_columns[asked.Index], cell);
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

    private void TakeRows(ReadOnlySpan<StoredCell> cells, ReadOnlySpan<ulong> keys, WalkState state)
    {
        ReadOnlySpan<ColumnProgress> asked = Plan.RepeatedColumns;
        int columns = asked.Length;
        if (columns == 0)
        {
            return;
        }

        bool anyClosed = false;
        int next = 0;
        keys = keys[..cells.Length];
        for (int i = 0; i < cells.Length && Cells < _request.MaxCells; i++)
        {
            ColumnProgress column = asked[next];
            next = next + 1 == columns ? 0 : next + 1;
            if (!column.IsClosed)
            {
                if (column.Take(cells[i], keys[i]))
                {
                    Cells++;
                    continue;
                }

                anyClosed = true;
                SawStepBack |= column.SteppedBack;
            }
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

    private void TakeCell(ColumnProgress column, in StoredCell cell)
    {
        Cells += column.Take(cell) ? 1 : 0;
        SawStepBack |= column.SteppedBack;
    }

    private void CloseAtKnownEnds()
    {
        for (int i = 0; i < _request.AllColumns.Length; i++)
        {
            ColumnProgress column = _columns[i];
            if (column.End == KnownEnd.Confirmed && !column.IsClosed && column.NewestIndex.SequenceEqual(Plan.Shape.Last(i)))
            {
                column.Close(isComplete: true);
            }
        }
    }
}
