using System.Collections.Concurrent;
using PoeWatch.Snmp.Walking;

namespace PoeWatch.Snmp;

/// <summary>
/// Reads whole columns of tables, several per GetBulk, as many rows at a time as the agent has shown to take. Bounded in
/// requests and cells, and never in circles: see <see cref="WalkEnding"/>. Thread-safe. Dispose each result once its rows are read.
/// </summary>
public sealed class BulkWalker
{
    /// <summary>A walk asks for less so many times when the agent falls silent in its midst.</summary>
    private const int MaxSilences = 2;

    /// <summary>Room kept for later walks: as many as are in flight at once.</summary>
    private const int RoomKept = 1024;

    private readonly SnmpClient _client;
    private readonly TimeProvider _time;
    private readonly ConcurrentBag<WalkRows> _room = [];
    private readonly Action<WalkRows> _giveBack;

    public BulkWalker(SnmpClient client, TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(client);
        ArgumentNullException.ThrowIfNull(time);
        _client = client;
        _time = time;
        _giveBack = GiveBack;
    }

    /// <summary>Walks until every column has ended, a request fails for good or a bound is reached.</summary>
    public async Task<WalkResult> WalkAsync(
        SnmpTarget target, WalkRequest request, WalkState state, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(request);
        ArgumentNullException.ThrowIfNull(state);

        // The steps of a walk run on the thread that received the answer: waking another one for each would cost more than
        // the step. The caller's own code must not, hence the hand-over at the end.
        WalkResult result = await StepAsync(target, request, state, cancellationToken).ConfigureAwait(false);
        await Task.CompletedTask.ConfigureAwait(ConfigureAwaitOptions.ForceYielding);
        return result;
    }

    private async Task<WalkResult> StepAsync(
        SnmpTarget target, WalkRequest request, WalkState state, CancellationToken cancellationToken)
    {
        long start = _time.GetTimestamp();
        WalkRows rows = _room.TryTake(out WalkRows? used) ? used : new WalkRows();
        WalkProgress progress = new(request, rows);
        WalkEnding ending = WalkEnding.Unknown;
        SnmpResult? failure = null;
        TimeSpan duration = TimeSpan.Zero;
        bool hasAnswer = false;
        int requests = 0;
        int silences = 0;
        while (ending == WalkEnding.Unknown && !progress.IsDone)
        {
            if (requests == request.MaxRequests || progress.Cells >= request.MaxCells)
            {
                ending = WalkEnding.LimitReached;
                break;
            }

            (Oid[] oids, int nonRepeaters) = progress.Next(state.Repetitions, state.Columns);
            SnmpResult result = await _client
                .StepAsync(target, nonRepeaters, state.Repetitions, oids, cancellationToken).ConfigureAwait(false);
            requests++;
            duration = _time.GetElapsedTime(start);
            if (result.IsAnswered)
            {
                hasAnswer = true;
                ending = progress.Take(result.VarBinds, state) ? WalkEnding.Unknown : WalkEnding.EmptyAnswer;
            }
            else
            {
                failure = result;
                bool goOn = GoOnAfter(result, progress, state, hasAnswer, ref silences);
                ending = goOn ? WalkEnding.Unknown : WalkEnding.RequestFailed;
            }
        }

        if (ending == WalkEnding.Unknown)
        {
            ending = progress.SawStepBack ? WalkEnding.NotIncreasing : WalkEnding.Complete;
            ending = progress.HasAbandoned ? WalkEnding.RequestFailed : ending;
            state.WalkWasWhole();
        }

        return new WalkResult(request, rows, _giveBack)
        {
            Ending = ending,
            Failure = failure,
            Requests = requests,
            Duration = duration,
            HasAnswer = hasAnswer,
        };
    }

    private void GiveBack(WalkRows rows)
    {
        if (_room.Count < RoomKept)
        {
            _room.Add(rows);
        }
    }

    private static bool GoOnAfter(
        SnmpResult result, WalkProgress progress, WalkState state, bool hasAnswer, ref int silences)
    {
        switch (result.Outcome)
        {
            case SnmpOutcome.AgentError when result.ErrorStatus == SnmpErrorStatus.TooBig:
                return state.TryShrink(progress.ColumnsAsked);
            case SnmpOutcome.AgentError:
                return progress.GiveUp(result.ErrorIndex);
            case SnmpOutcome.Timeout or SnmpOutcome.Malformed:
                // A switch that never answered may choke on the size of its first request: one small one more. A switch
                // that is known to answer and does not is down: no more than its retries are spent on it.
                bool tryLess = state.Repetitions > 1 && silences < (hasAnswer ? MaxSilences : state.HasAnswered ? 0 : 1);
                state.WasSilent(inMidWalk: hasAnswer);
                silences++;
                return tryLess;
            default:
                return false;
        }
    }
}
