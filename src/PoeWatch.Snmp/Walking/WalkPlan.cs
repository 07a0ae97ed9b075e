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
    private readonly List<ColumnName> _repeatedNames = [];
    private WalkRequest _request = null!;
    private WalkRows _rows = null!;
    private bool[] _instanceDone = [];
    private int _instancesLeft;

    public WalkShape Shape { get; private set; } = null!;

    public List<AskedSingle> Singles => _singles;

    /// <summary>Columns of which several rows are asked for.</summary>
    public List<int> Repeated => _repeated;

    /// <summary>Their names.</summary>
    public ReadOnlySpan<ColumnName> RepeatedNames => CollectionsMarshal.AsSpan(_repeatedNames);

    public int Repetitions { get; private set; }

    public bool HasAllInstances => _instancesLeft == 0;

    /// <summary>A size in bytes that the request does not pass.</summary>
    public int SizeBound { get; private set; }

    public void Begin(WalkRequest request, WalkShape shape, WalkRows rows)
    {
        (_request, Shape, _rows) = (request, shape, rows);
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
    public void Next(WalkState state, ReadOnlySpan<ColumnProgress> columns)
    {
        _singles.Clear();
        _repeated.Clear();
        _repeatedNames.Clear();
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
            if (!columns[i].IsClosed)
            {
                rowsLeft = Math.Max(rowsLeft, Ask(i, columns[i]));
            }
        }

        Repetitions = Math.Clamp(rowsLeft, 1, state.Repetitions);
        SizeBound = 64;
        Span<byte> room = stackalloc byte[sizeof(ulong)];
        for (int i = 0; i < _singles.Count + _repeated.Count; i++)
        {
            bool hasKey = i >= _singles.Count && columns[_repeated[i - _singles.Count]].NewestKey != 0;
            SizeBound += 16 + (hasKey ? _repeatedNames[i - _singles.Count].Length + StoredCell.KeyBytes : NameAt(i).Length + IndexAt(i, columns, room).Length);
        }
    }

    /// <summary>Writes the GetBulk PDU.</summary>
    public void Write(ref BerWriter writer, int requestId, ReadOnlySpan<ColumnProgress> columns)
    {
        Span<byte> room = stackalloc byte[sizeof(ulong)];
        int beforePdu = writer.Length;
        for (int i = _singles.Count + _repeated.Count - 1; i >= 0; i--)
        {
            int beforeBinding = writer.Length;
            writer.WriteNull();
            int beforeName = writer.Length;
            writer.WriteRaw(IndexAt(i, columns, room));
            writer.WriteRaw(NameAt(i));
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
    private int Ask(int index, in ColumnProgress column)
    {
        int known = Shape.IsKnown ? Shape.Rows(index) : -1;
        if (column.End == KnownEnd.Expected && Shape.EndOf(index) == index)
        {
            _singles.Add(new AskedSingle(AskedFor.End, index));
        }

        // One row or none the last time: one variable is enough to see whether that still holds.
        int count = _rows.Count(index);
        if (known is 0 or 1 && count == 0)
        {
            _singles.Add(new AskedSingle(AskedFor.Row, index));
            return 0;
        }

        _repeated.Add(index);
        _repeatedNames.Add(_request.Names[index]);
        return column.End != KnownEnd.None && known > count ? known - count : int.MaxValue;
    }

    private ReadOnlySpan<byte> NameAt(int position)
    {
        if (position >= _singles.Count)
        {
            return _request.AllColumns[_repeated[position - _singles.Count]].Encoded;
        }

        AskedSingle asked = _singles[position];
        return (asked.What == AskedFor.Instance ? _request.BeforeInstances[asked.Index] : _request.AllColumns[asked.Index]).Encoded;
    }

    /// <summary>What follows the column in the name that is asked for: the index of the row after which to go on.</summary>
    private ReadOnlySpan<byte> IndexAt(int position, ReadOnlySpan<ColumnProgress> columns, Span<byte> room)
    {
        if (position < _singles.Count)
        {
            return _singles[position].What == AskedFor.End ? Shape.Last(_singles[position].Index, room) : [];
        }

        int column = _repeated[position - _singles.Count];
        ulong key = columns[column].NewestKey;
        return key != 0 ? StoredCell.IndexOf(key, room)
            : _rows.Count(column) == 0 ? []
            : _rows.IndexOf(_rows.Newest(column), _request.AllColumns[column], room);
    }
}
