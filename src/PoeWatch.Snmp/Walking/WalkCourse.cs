using System.Net;
using PoeWatch.Snmp.Security;
using PoeWatch.Snmp.Transport;

namespace PoeWatch.Snmp.Walking;

/// <summary>What came of one request of a walk.</summary>
internal readonly record struct SaidByAgent(
    SnmpOutcome Outcome,
    SnmpErrorStatus ErrorStatus = SnmpErrorStatus.NoError,
    int ErrorIndex = 0,
    bool IsSignedReport = false,
    Taken Taken = Taken.Damaged,
    TimeSpan RoundTrip = default,
    IPEndPoint? Responder = null);

/// <summary>How a walk fares as a whole, and whether it goes on after this or that. Used again by walk after walk.</summary>
internal sealed class WalkCourse
{
    /// <summary>A walk asks for less so many times when the agent falls silent in its midst.</summary>
    private const int MaxSilences = 2;

    private int _silences;
    private bool _resynchronised;
    private bool _rediscovered;

    public WalkEnding Ending { get; set; }

    public SnmpResult? Failure { get; set; }

    public int Requests { get; set; }

    public TimeSpan Duration { get; set; }

    public bool HasAnswer { get; private set; }

    public void Begin()
    {
        (Ending, Failure, Requests, Duration) = (WalkEnding.Unknown, null, 0, TimeSpan.Zero);
        (HasAnswer, _silences, _resynchronised, _rediscovered) = (false, 0, false, false);
    }

    /// <summary>
    /// True where a v3 report has a remedy that was not tried yet: the same request is sent again. As
    /// <see cref="UsmConversation.AskAsync"/> has it: a signed report has set the clock right already, else only a new discovery can help.
    /// </summary>
    public bool TryRemedy(SaidByAgent said, UsmConversation usm, SnmpTarget target, UsmSession session)
    {
        switch (said.Outcome)
        {
            case SnmpOutcome.NotInTimeWindow:
                if (_resynchronised || !said.IsSignedReport)
                {
                    usm.Forget(target, session);
                }

                bool again = !_resynchronised;
                _resynchronised = true;
                return again;
            case SnmpOutcome.UnknownEngine:
                usm.Forget(target, session);
                again = !_rediscovered;
                _rediscovered = true;
                return again;
            case SnmpOutcome.Answered:
                (_resynchronised, _rediscovered) = (false, false);
                return false;
            default:
                return false;
        }
    }

    /// <summary>True where the walk has a next step. A failure is noted by the caller.</summary>
    public bool GoesOn(SaidByAgent said, WalkProgress progress, WalkState state)
    {
        if (said.Outcome == SnmpOutcome.Answered)
        {
            HasAnswer = true;
            Ending = said.Taken == Taken.Something ? WalkEnding.Unknown : WalkEnding.EmptyAnswer;
            return Ending == WalkEnding.Unknown;
        }

        bool goesOn = GoesOnAfter(said, progress, state);
        Ending = goesOn ? WalkEnding.Unknown : WalkEnding.RequestFailed;
        return goesOn;
    }

    private bool GoesOnAfter(SaidByAgent said, WalkProgress progress, WalkState state)
    {
        switch (said.Outcome)
        {
            case SnmpOutcome.AgentError when said.ErrorStatus == SnmpErrorStatus.TooBig:
                progress.ForgetEnds();
                return state.TryShrink(progress.Plan.Repeated.Count);
            case SnmpOutcome.AgentError:
                return progress.GiveUp(said.ErrorIndex);
            case SnmpOutcome.Timeout or SnmpOutcome.Malformed:
                // A switch that never answered may choke on the size of its first request: one small one more. A switch
                // that is known to answer and does not is down: no more than its retries are spent on it.
                bool tryLess = state.Repetitions > 1 && _silences < (HasAnswer ? MaxSilences : state.HasAnswered ? 0 : 1);
                state.WasSilent(inMidWalk: HasAnswer);
                _silences++;
                return tryLess;
            default:
                return false;
        }
    }
}
