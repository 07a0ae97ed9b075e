using System.Collections.Immutable;

namespace PoeWatch.Snmp.Walking;

/// <summary>
/// The arithmetic of a walk: what to ask next, and what an answer means. Pure: no clock, no socket. Each taken answer
/// either moves a cursor strictly forward, ends a column or is refused, so a walk cannot turn in circles.
/// </summary>
internal sealed class WalkProgress
{
    private readonly WalkRequest _request;
    private readonly ColumnCursor[] _columns;
    private readonly WalkRows _rows;
    private readonly bool[] _instanceDone;
    private readonly List<int> _askedInstances;
    private readonly List<int> _askedColumns;
    private int _askedRepetitions;

    /// <param name="request">What to walk.</param>
    /// <param name="rows">Where to keep what comes; made to fit the request here.</param>
    public WalkProgress(WalkRequest request, WalkRows rows)
    {
        _request = request;
        _rows = rows;
        rows.Reset(request.Columns.Count, request.Instances.Count);
        _columns = new ColumnCursor[request.Columns.Count];
        for (int i = 0; i < _columns.Length; i++)
        {
            _columns[i] = new ColumnCursor(request.Columns[i], rows, rows.Column(i));
        }

        _instanceDone = new bool[request.Instances.Count];
        _askedInstances = new List<int>(request.Instances.Count);
        _askedColumns = new List<int>(_columns.Length);
    }

    public bool IsDone => Array.TrueForAll(_instanceDone, done => done) && Array.TrueForAll(_columns, column => column.IsClosed);

    public int Cells { get; private set; }

    public bool SawStepBack { get; private set; }

    /// <summary>True where the agent refused one of the names with an error.</summary>
    public bool HasAbandoned { get; private set; }

    public int ColumnsAsked => _askedColumns.Count;

    /// <summary>Non-repeaters first: the instances, asked for by what comes just before them. Then the columns' cursors.</summary>
    public (Oid[] Oids, int NonRepeaters) Next(int repetitions, int maxColumns)
    {
        _askedRepetitions = repetitions;
        _askedInstances.Clear();
        _askedColumns.Clear();
        for (int i = 0; i < _instanceDone.Length; i++)
        {
            if (!_instanceDone[i])
            {
                _askedInstances.Add(i);
            }
        }

        for (int i = 0; i < _columns.Length && _askedColumns.Count < maxColumns; i++)
        {
            if (!_columns[i].IsClosed)
            {
                _askedColumns.Add(i);
            }
        }

        Oid[] oids = new Oid[_askedInstances.Count + _askedColumns.Count];
        for (int i = 0; i < oids.Length; i++)
        {
            oids[i] = i < _askedInstances.Count
                ? _request.BeforeInstances[_askedInstances[i]]
                : _columns[_askedColumns[i - _askedInstances.Count]].Cursor;
        }

        return (oids, _askedInstances.Count);
    }

    /// <summary>Takes an answer in and tells the state how full it was. False where it holds nothing at all.</summary>
    public bool Take(ImmutableArray<VarBind> varBinds, WalkState state)
    {
        if (varBinds.IsEmpty)
        {
            return false;
        }

        int instances = Math.Min(_askedInstances.Count, varBinds.Length);
        for (int i = 0; i < instances; i++)
        {
            int instance = _askedInstances[i];
            bool found = varBinds[i].Oid == _request.Instances[instance] && varBinds[i].Value.Type != SnmpType.EndOfMibView;
            _rows.Instance(instance) = found ? _rows.Keep(varBinds[i]) : new StoredCell(SnmpType.NoSuchInstance, 0, 0, 0);
            _instanceDone[instance] = true;
        }

        TakeRows(varBinds.AsSpan()[instances..], state);
        return true;
    }

    /// <summary>The agent blames one of the names asked for: give that one up and go on. False where it blames none.</summary>
    public bool GiveUp(int errorIndex)
    {
        int index = errorIndex - 1;
        if (index < 0 || index >= _askedInstances.Count + _askedColumns.Count)
        {
            return false;
        }

        HasAbandoned = true;
        if (index < _askedInstances.Count)
        {
            _instanceDone[_askedInstances[index]] = true;
        }
        else
        {
            _columns[_askedColumns[index - _askedInstances.Count]].Abandon();
        }

        return true;
    }

    private void TakeRows(ReadOnlySpan<VarBind> cells, WalkState state)
    {
        int columns = _askedColumns.Count;
        if (columns == 0)
        {
            return;
        }

        bool anyClosed = false;
        for (int i = 0; i < cells.Length && Cells < _request.MaxCells; i++)
        {
            ColumnCursor column = _columns[_askedColumns[i % columns]];
            if (column.IsClosed)
            {
                continue;
            }

            Cells += column.Take(cells[i]) ? 1 : 0;
            anyClosed |= column.IsClosed;
            SawStepBack |= column.SteppedBack;
        }

        // Near the end of a table an answer may rightly be short: that says nothing about what fits.
        if (cells.Length >= columns * _askedRepetitions)
        {
            state.AnsweredInFull();
        }
        else if (!anyClosed)
        {
            state.AnsweredInPart(cells.Length / columns);
        }
    }
}

/// <summary>How far one column is read.</summary>
internal sealed class ColumnCursor
{
    private readonly Oid _column;
    private readonly WalkRows _rows;
    private readonly StoredColumn _stored;

    public ColumnCursor(Oid column, WalkRows rows, StoredColumn stored)
    {
        _column = column;
        _rows = rows;
        _stored = stored;
        Cursor = column;
    }

    public Oid Cursor { get; private set; }

    public bool SteppedBack { get; private set; }

    public bool IsClosed { get; private set; }

    /// <summary>True where the binding is a new cell of this column; otherwise the column ends.</summary>
    public bool Take(VarBind varBind)
    {
        if (varBind.Value.Type is SnmpType.EndOfMibView or SnmpType.NoSuchObject or SnmpType.NoSuchInstance
            || !varBind.Oid.StartsWith(_column))
        {
            IsClosed = true;
            _stored.IsComplete = true;
            return false;
        }

        if (varBind.Oid <= Cursor)
        {
            IsClosed = true;
            SteppedBack = true;
            return false;
        }

        Cursor = varBind.Oid;
        _stored.Add(_rows.Keep(varBind));
        return true;
    }

    public void Abandon() => IsClosed = true;
}
