using PoeWatch.Snmp.Walking;

namespace PoeWatch.Snmp;

/// <summary>
/// Reads whole columns of tables, several per GetBulk, as many rows at a time as the agent has shown to take. Bounded in
/// requests and cells, and never in circles: see <see cref="WalkEnding"/>. A walk costs one object, however many requests and values it
/// takes: dispose each result once its rows are read, and their room serves the next walk. Thread-safe.
/// </summary>
public sealed class BulkWalker
{
    /// <summary>Room kept for later walks: as many as are in flight at once.</summary>
    private const int RoomKept = 1024;

    private readonly SnmpClient _client;
    private readonly TimeProvider _time;
    private readonly Lock _lock = new();

    // The newest first: what was used last is still at hand.
    private readonly Stack<WalkRows> _rows = new();
    private readonly Stack<WalkOperation> _operations = new();

    public BulkWalker(SnmpClient client, TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(client);
        ArgumentNullException.ThrowIfNull(time);
        _client = client;
        _time = time;
        RoomBack = GiveBack;
    }

    internal Action<WalkRows> RoomBack { get; }

    /// <summary>
    /// Walks until every column has ended, a request fails for good or a bound is reached. Await it once. The code that awaits goes on
    /// upon the thread pool: it must not hold up the receive thread, on which all switches hang.
    /// </summary>
    public ValueTask<WalkResult> WalkAsync(
        SnmpTarget target, WalkRequest request, WalkState state, CancellationToken cancellationToken = default) =>
        Start(target, request, state, continueInline: false, cancellationToken);

    /// <summary>
    /// As <see cref="WalkAsync"/>, but the code that awaits goes on upon the receive thread itself, which saves waking another one for
    /// each poll. For code that only computes and hands on: it must neither wait nor take long, for meanwhile no answer is heard.
    /// </summary>
    public ValueTask<WalkResult> WalkOnReceiveThreadAsync(
        SnmpTarget target, WalkRequest request, WalkState state, CancellationToken cancellationToken = default) =>
        Start(target, request, state, continueInline: true, cancellationToken);

    internal void GiveBack(WalkOperation operation)
    {
        lock (_lock)
        {
            if (_operations.Count < RoomKept)
            {
                _operations.Push(operation);
            }
        }
    }

    private void GiveBack(WalkRows rows)
    {
        lock (_lock)
        {
            if (_rows.Count < RoomKept)
            {
                _rows.Push(rows);
            }
        }
    }

    private ValueTask<WalkResult> Start(
        SnmpTarget target, WalkRequest request, WalkState state, bool continueInline, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(target);
        ArgumentNullException.ThrowIfNull(request);
        ArgumentNullException.ThrowIfNull(state);
        WalkOperation? operation;
        WalkRows? rows;
        lock (_lock)
        {
            _operations.TryPop(out operation);
            _rows.TryPop(out rows);
        }

        operation ??= new WalkOperation(_client, _time, this);
        rows ??= new WalkRows();
        return operation.Start(target, request, state, rows, continueInline, cancellationToken);
    }
}
