using System.Runtime.InteropServices;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Walking;

/// <summary>What one of the variables that come once is asked for.</summary>
internal enum AskedFor
{
    /// <summary>An instance of its own.</summary>
    Instance = 0,

    /// <summary>What follows a column's last known row.</summary>
    End,

    /// <summary>The only row of a column.</summary>
    Row,
}

/// <summary>One variable that comes once, and which instance or column it is about.</summary>
internal readonly record struct AskedSingle(AskedFor What, int Index);

/// <summary>
/// What the next request of a walk asks for, and its encoding. Variables that come once stand first, as GetBulk wants it (RFC 3416
/// section 4.2.3). Used again by walk after walk.
/// </summary>
internal sealed class WalkPlan
{
    private readonly List<AskedSingle> _singles = [];
    private readonly List<int> _repeated = [];
    private readonly List<ColumnProgress> _repeatedColumns = [];
    private WalkRequest _request = null!;
    private List<ColumnProgress> _columns = null!;
    private bool[] _instanceDone = [];
    private int _instancesLeft;

    public WalkShape Shape { get; private set; } = null!;

    public List<AskedSingle> Singles => _singles;

    /// <summary>Columns of which several rows are asked for.</summary>
    public List<int> Repeated => _repeated;

    /// <summary>The same columns.</summary>
    public ReadOnlySpan<ColumnProgress> RepeatedColumns => CollectionsMarshal.AsSpan(_repeatedColumns);

    public int Repetitions { get; private set; }

    public bool HasAllInstances => _instancesLeft == 0;

    /// <summary>A size in bytes that the request does not pass.</summary>
    public int SizeBound { get; private set; }

    public void Begin(WalkRequest request, WalkShape shape, List<ColumnProgress> columns)
    {
        (_request, Shape, _columns) = (request, shape, columns);
        _instancesLeft = request.AllInstances.Length;
        _instanceDone = _instanceDone.Length >= _instancesLeft ? _instanceDone : new bool[_instancesLeft];
        Array.Clear(_instanceDone);
    }

    public void InstanceIsDone(int instance)
    {
        _instancesLeft -= _instanceDone[instance] ? 0 : 1;
        _instanceDone[instance] = true;
    }

    /// <summary>Decides on the next request.</summary>
    public void Next(WalkState state)
    {
        _singles.Clear();
        _repeated.Clear();
        _repeatedColumns.Clear();
        for (int i = 0; i < _request.AllInstances.Length; i++)
        {
            if (!_instanceDone[i])
            {
                _singles.Add(new AskedSingle(AskedFor.Instance, i));
            }
        }

        int rowsLeft = 0;
        for (int i = 0; i < _request.AllColumns.Length && _repeated.Count < state.Columns; i++)
        {
            ColumnProgress column = _columns[i];
            if (!column.IsClosed)
            {
                rowsLeft = Math.Max(rowsLeft, Ask(i, column));
            }
        }

        Repetitions = Math.Clamp(rowsLeft, 1, state.Repetitions);
        SizeBound = 64;
        for (int i = 0; i < _singles.Count + _repeated.Count; i++)
        {
            SizeBound += NameAt(i, out ReadOnlySpan<byte> index).Length + index.Length + 16;
        }
    }

    /// <summary>Writes the GetBulk PDU.</summary>
    public void Write(ref BerWriter writer, int requestId)
    {
        int beforePdu = writer.Length;
        for (int i = _singles.Count + _repeated.Count - 1; i >= 0; i--)
        {
            int beforeBinding = writer.Length;
            writer.WriteNull();
            int beforeName = writer.Length;
            ReadOnlySpan<byte> name = NameAt(i, out ReadOnlySpan<byte> index);
            writer.WriteRaw(index);
            writer.WriteRaw(name);
            writer.Wrap(BerTag.ObjectIdentifier, beforeName);
            writer.Wrap(BerTag.Sequence, beforeBinding);
        }

        writer.Wrap(BerTag.Sequence, beforePdu);
        writer.WriteInteger(Repetitions);
        writer.WriteInteger(_singles.Count);
        writer.WriteInteger(requestId);
        writer.Wrap((byte)PduType.GetBulk, beforePdu);
    }

    /// <summary>Puts a column into the request and says how many rows it may have left.</summary>
    private int Ask(int index, ColumnProgress column)
    {
        int known = Shape.IsKnown ? Shape.Rows(index) : -1;
        if (column.End == KnownEnd.Expected && Shape.EndOf(index) == index)
        {
            _singles.Add(new AskedSingle(AskedFor.End, index));
        }

        // One row or none the last time: one variable is enough to see whether that still holds.
        if (known is 0 or 1 && column.Count == 0)
        {
            _singles.Add(new AskedSingle(AskedFor.Row, index));
            return 0;
        }

        _repeated.Add(index);
        _repeatedColumns.Add(column);
        return column.End != KnownEnd.None && known > column.Count ? known - column.Count : int.MaxValue;
    }

    private ReadOnlySpan<byte> NameAt(int position, out ReadOnlySpan<byte> index)
    {
        index = [];
        if (position >= _singles.Count)
        {
            return _columns[_repeated[position - _singles.Count]].Cursor;
        }

        AskedSingle asked = _singles[position];
        if (asked.What == AskedFor.Instance)
        {
            return _request.BeforeInstances[asked.Index].Encoded;
        }

        index = asked.What == AskedFor.End ? Shape.Last(asked.Index) : [];
        return _request.AllColumns[asked.Index].Encoded;
    }
}
