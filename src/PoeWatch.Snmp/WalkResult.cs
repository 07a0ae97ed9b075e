using System.Collections;
using PoeWatch.Snmp.Walking;

namespace PoeWatch.Snmp;

/// <summary>How a walk ended.</summary>
public enum WalkEnding
{
    /// <summary>Not set: never comes out of a walk.</summary>
    Unknown = 0,

    /// <summary>Every column was read to its end.</summary>
    Complete,

    /// <summary>A request failed for good; <see cref="WalkResult.Failure"/> says why.</summary>
    RequestFailed,

    /// <summary>The agent repeated or stepped back in a column; that column ends there.</summary>
    NotIncreasing,

    /// <summary>The agent answered without a single variable.</summary>
    EmptyAnswer,

    /// <summary>The bound on requests or cells was reached.</summary>
    LimitReached,
}

/// <summary>
/// What a walk brought. What an agent answered before something went wrong is kept: look at <see cref="WalkColumn.IsComplete"/>
/// before reading an absence as a fact. The rows stand in room that later walks use again: read them, then dispose the result.
/// Names, texts and octets taken from it end with it (<see cref="Oid.ToOwned"/> keeps a name); numbers and strings do not. A result
/// that is never disposed costs its room, nothing else. Reading is thread-safe, disposing is not.
/// </summary>
public sealed class WalkResult : IDisposable
{
    private readonly WalkRequest _request;
    private readonly Action<WalkRows>? _giveBack;
    private WalkRows? _rows;

    internal WalkResult(WalkRequest request, WalkRows rows, Action<WalkRows>? giveBack)
    {
        _request = request;
        _rows = rows;
        _giveBack = giveBack;
    }

    public required WalkEnding Ending { get; init; }

    /// <summary>The request that failed, the last one if several did; null if none.</summary>
    public SnmpResult? Failure { get; init; }

    /// <summary>In the order of the request.</summary>
    public WalkColumns Columns => new(this);

    /// <summary>In the order of the request; a Null value was never answered, NoSuchInstance is the agent's word.</summary>
    public WalkInstances Instances => new(this);

    public int Requests { get; init; }

    /// <summary>When the last answer had arrived, measured from the start of the walk.</summary>
    public TimeSpan Duration { get; init; }

    public bool IsComplete => Ending == WalkEnding.Complete;

    /// <summary>True where the agent gave any answer.</summary>
    public bool HasAnswer { get; init; }

    internal WalkRequest Request => _request;

    internal WalkRows Rows => _rows ?? throw new ObjectDisposedException(nameof(WalkResult));

    /// <summary>Gives the rows' room back.</summary>
    public void Dispose()
    {
        if (_rows is { } rows)
        {
            _rows = null;
            _giveBack?.Invoke(rows);
        }
    }
}

/// <summary>The columns of a walk, in the order of its request.</summary>
public readonly struct WalkColumns : IReadOnlyList<WalkColumn>
{
    private readonly WalkResult _result;

    internal WalkColumns(WalkResult result) => _result = result;

    public int Count => _result.Request.Columns.Count;

    public WalkColumn this[int index] => new(_result, index);

    public IEnumerator<WalkColumn> GetEnumerator()
    {
        for (int i = 0; i < Count; i++)
        {
            yield return this[i];
        }
    }

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}

/// <summary>The single instances of a walk, in the order of its request.</summary>
public readonly struct WalkInstances : IReadOnlyList<VarBind>
{
    private readonly WalkResult _result;

    internal WalkInstances(WalkResult result) => _result = result;

    public int Count => _result.Request.Instances.Count;

    public VarBind this[int index] =>
        new(_result.Request.Instances[index], _result.Rows.Instance(index).ValueIn(_result.Rows.Bytes));

    public IEnumerator<VarBind> GetEnumerator()
    {
        for (int i = 0; i < Count; i++)
        {
            yield return this[i];
        }
    }

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
