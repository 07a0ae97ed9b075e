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
    private readonly VarBind[] _instances;
    private readonly bool[] _instanceDone;
    private int[] _askedInstances = [];
    private int[] _askedColumns = [];
    private int _askedRepetitions;

    public WalkProgress(WalkRequest request)
    {
        _request = request;
        _columns = [.. request.Columns.Select(column => new ColumnCursor(column))];
        _instances = [.. request.Instances.Select(oid => new VarBind(oid, SnmpValue.Null))];
        _instanceDone = new bool[_instances.Length];
    }

    public bool IsDone => Array.TrueForAll(_instanceDone, done => done) && Array.TrueForAll(_columns, column => column.IsClosed);

    public int Cells { get; private set; }

    public bool SawStepBack { get; private set; }

    /// <summary>True where the agent refused one of the names with an error.</summary>
    public bool HasAbandoned { get; private set; }

    public int ColumnsAsked => _askedColumns.Length;

    /// <summary>Non-repeaters first: the instances, asked for by what comes just before them. Then the columns' cursors.</summary>
    public (Oid[] Oids, int NonRepeaters) Next(int repetitions, int maxColumns)
    {
        _askedRepetitions = repetitions;
        _askedInstances = [.. Enumerable.Range(0, _instances.Length).Where(i => !_instanceDone[i])];
        _askedColumns = [.. Enumerable.Range(0, _columns.Length).Where(i => !_columns[i].IsClosed).Take(maxColumns)];
        Oid[] oids =
        [
            .. _askedInstances.Select(i => JustBefore(_instances[i].Oid)),
            .. _askedColumns.Select(i => _columns[i].Cursor),
        ];
        return (oids, _askedInstances.Length);
    }

    /// <summary>Takes an answer in and tells the state how full it was. False where it holds nothing at all.</summary>
    public bool Take(ImmutableArray<VarBind> varBinds, WalkState state)
    {
        if (varBinds.IsEmpty)
        {
            return false;
        }

        int instances = Math.Min(_askedInstances.Length, varBinds.Length);
        for (int i = 0; i < instances; i++)
        {
            int instance = _askedInstances[i];
            Oid asked = _instances[instance].Oid;
            bool found = varBinds[i].Oid == asked && varBinds[i].Value.Type != SnmpType.EndOfMibView;
            _instances[instance] = new VarBind(asked, found ? varBinds[i].Value : SnmpValue.NoSuchInstance);
            _instanceDone[instance] = true;
        }

        TakeRows(varBinds.AsSpan()[instances..], state);
        return true;
    }

    /// <summary>The agent blames one of the names asked for: give that one up and go on. False where it blames none.</summary>
    public bool GiveUp(int errorIndex)
    {
        int index = errorIndex - 1;
        if (index < 0 || index >= _askedInstances.Length + _askedColumns.Length)
        {
            return false;
        }

        HasAbandoned = true;
        if (index < _askedInstances.Length)
        {
            _instanceDone[_askedInstances[index]] = true;
        }
        else
        {
            _columns[_askedColumns[index - _askedInstances.Length]].Abandon();
        }

        return true;
    }

    public ImmutableArray<WalkColumn> Columns() =>
        [.. _columns.Select(column => new WalkColumn(column.Column, [.. column.Cells], column.IsComplete))];

    public ImmutableArray<VarBind> Instances() => [.. _instances];

    private void TakeRows(ReadOnlySpan<VarBind> cells, WalkState state)
    {
        int columns = _askedColumns.Length;
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

    /// <summary>
    /// An OID whose successor is the instance, if the agent has it. So instances can ride in a GetBulk, which only knows
    /// successors.
    /// </summary>
    private static Oid JustBefore(Oid instance)
    {
        Span<uint> numbers = stackalloc uint[Oid.MaxSubIdentifiers];
        int count = instance.CopyTo(numbers);
        if (numbers[count - 1] > 0)
        {
            numbers[count - 1]--;
            return Oid.From(numbers[..count]);
        }

        return count > 2 ? Oid.From(numbers[..(count - 1)]) : instance;
    }
}

/// <summary>How far one column is read.</summary>
internal sealed class ColumnCursor(Oid column)
{
    public Oid Column { get; } = column;

    public Oid Cursor { get; private set; } = column;

    public List<VarBind> Cells { get; } = [];

    public bool IsComplete { get; private set; }

    public bool SteppedBack { get; private set; }

    public bool IsClosed { get; private set; }

    /// <summary>True where the binding is a new cell of this column; otherwise the column ends.</summary>
    public bool Take(VarBind varBind)
    {
        if (varBind.Value.Type is SnmpType.EndOfMibView or SnmpType.NoSuchObject or SnmpType.NoSuchInstance
            || !varBind.Oid.StartsWith(Column))
        {
            IsClosed = true;
            IsComplete = true;
            return false;
        }

        if (varBind.Oid <= Cursor)
        {
            IsClosed = true;
            SteppedBack = true;
            return false;
        }

        Cursor = varBind.Oid;
        Cells.Add(varBind);
        return true;
    }

    public void Abandon() => IsClosed = true;
}
