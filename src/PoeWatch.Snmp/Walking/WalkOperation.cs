using System.Threading.Tasks.Sources;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;
using PoeWatch.Snmp.Transport;

namespace PoeWatch.Snmp.Walking;

/// <summary>
/// One walk on its way: a request that is sent again and again under new ids, each time for what is still missing. Its steps run on the
/// thread that brings the answer, without a task or an object for any of them. Used again by walk after walk.
/// </summary>
internal sealed class WalkOperation : PendingRequest, IValueTaskSource<WalkResult>
{
    private readonly SnmpClient _client;
    private readonly TimeProvider _time;
    private readonly BulkWalker _walker;
    private readonly WalkProgress _progress = new();
    private readonly WalkCourse _course = new();
    private ManualResetValueTaskSourceCore<WalkResult> _source = new() { RunContinuationsAsynchronously = true };
    private SnmpTarget _target = null!;
    private WalkRequest _request = null!;
    private WalkState _state = null!;
    private WalkRows _rows = null!;
    private UsmSession? _session;
    private CancellationToken _cancellation;
    private CancellationTokenRegistration _registration;
    private SaidByAgent _said;
    private long _start;

    public WalkOperation(SnmpClient client, TimeProvider time, BulkWalker walker) => (_client, _time, _walker) = (client, time, walker);

    public override SnmpTarget Target => _target;

    public override int Version => _target.Credentials is UsmCredentials ? UsmMessage.Version : CommunityMessage.Version;

    public override int EncodedSizeBound => _session is null
        ? _progress.Plan.SizeBound + ((CommunityCredentials)_target.Credentials).Community.Length
        : ScopedBound + UsmEnvelope.SizeBound(ScopedBound);

    private int ScopedBound => _progress.Plan.SizeBound + ScopedPdu.OverheadBound;

    /// <summary>Starts a walk; the object is free for the next one once its result is taken.</summary>
    public ValueTask<WalkResult> Start(
        SnmpTarget target, WalkRequest request, WalkState state, WalkRows rows, bool continueInline, CancellationToken cancellation)
    {
        (_target, _request, _state, _rows, _session, _cancellation) = (target, request, state, rows, null, cancellation);
        _source.Reset();
        _source.RunContinuationsAsynchronously = !continueInline;
        short token = _source.Version;
        IsCancelled = cancellation.IsCancellationRequested;
        _progress.Begin(request, rows, state.ShapeOf(request));
        _course.Begin();
        _start = _time.GetTimestamp();
        _registration = cancellation.UnsafeRegister(
            static walk => ((WalkOperation)walk!).Cancel(), this);
        Step();
        return new ValueTask<WalkResult>(this, token);
    }

    public override ReadOnlySpan<byte> Encode(Span<byte> buffer)
    {
        if (_session is not { } session)
        {
            BerWriter plain = new(buffer);
            _progress.Plan.Write(ref plain, Id, _progress.Columns);
            CommunityMessage.Frame(ref plain, ((CommunityCredentials)_target.Credentials).Community);
            return plain.Written;
        }

        BerWriter scoped = new(buffer[..ScopedBound]);
        _progress.Plan.Write(ref scoped, Id, _progress.Columns);
        ScopedPdu.Frame(ref scoped, session.EngineId, session.Credentials.ContextNameBytes);
        return UsmExchange.Seal(buffer[ScopedBound..], session, _target, Id, scoped.Written);
    }

    public override Verdict Read(Span<byte> datagram, Arrival arrival)
    {
        PduView pdu;
        bool isSigned = false;
        if (_session is { } session)
        {
            Verdict verdict = UsmExchange.Open(datagram, session, out pdu, out isSigned);
            if (verdict != Verdict.Complete)
            {
                return verdict;
            }
        }
        else if (!CommunityMessage.TryRead(datagram, out _, out pdu))
        {
            return Verdict.Malformed;
        }

        bool isReport = pdu.Type == PduType.Report && _session is not null;
        if (!isReport && (pdu.Type != PduType.Response || pdu.RequestId != Id))
        {
            return Verdict.Malformed;
        }

        SaidByAgent said = isReport
            ? new SaidByAgent(ReportCause.Of(pdu), IsSignedReport: isSigned)
            : new SaidByAgent(SingleRequest.OutcomeOf(pdu.ErrorStatus), (SnmpErrorStatus)pdu.ErrorStatus, pdu.ErrorIndex);
        if (isReport)
        {
            _client.Statistics.CountReport(said.Outcome);
        }
        else if (said.Outcome == SnmpOutcome.Answered)
        {
            said = said with { Taken = _progress.Take(pdu.VarBindList, _state) };
            if (said.Taken == Taken.Damaged)
            {
                return Verdict.Malformed;
            }
        }

        _said = said with { RoundTrip = arrival.RoundTrip, Responder = arrival.Responder };
        return Verdict.Complete;
    }

    public override void Finish(SnmpOutcome outcome)
    {
        SaidByAgent said = outcome == SnmpOutcome.Answered ? _said : new SaidByAgent(outcome);
        if (_session is { } session && _course.TryRemedy(said, _client.Usm, _target, session))
        {
            _session = null;
            Send();
            return;
        }

        _course.Failure = said.Outcome == SnmpOutcome.Answered ? _course.Failure : Failed(said);
        if (_course.GoesOn(said, _progress, _state))
        {
            Step();
        }
        else
        {
            End();
        }
    }

    public WalkResult GetResult(short token)
    {
        WalkResult result = _source.GetResult(token);
        _walker.GiveBack(this);
        return result;
    }

    public ValueTaskSourceStatus GetStatus(short token) => _source.GetStatus(token);

    public void OnCompleted(Action<object?> continuation, object? state, short token, ValueTaskSourceOnCompletedFlags flags) =>
        _source.OnCompleted(continuation, state, token, flags);

    private void Cancel() => _client.Dispatcher.Cancel(this);

    private void Step()
    {
        if (_progress.IsDone || _course.Requests == _request.MaxRequests || _progress.Cells >= _request.MaxCells)
        {
            _course.Ending = _progress.IsDone ? WalkEnding.Unknown : WalkEnding.LimitReached;
            End();
            return;
        }

        _progress.PlanNext(_state);
        _course.Requests++;
        Send();
    }

    private void Send()
    {
        if (_target.Credentials is UsmCredentials user && _session is null)
        {
            if (!_client.Usm.TryFind(_target, user, out UsmSession found))
            {
                _ = DiscoverThenSendAsync(user);
                return;
            }

            _session = found;
        }

        SnmpOutcome refusal = _client.Dispatcher.Submit(this);
        if (refusal != SnmpOutcome.Unknown)
        {
            Attempts = 0;
            Refuse(Failed(new SaidByAgent(refusal)));
        }
    }

    /// <summary>The first walk of a v3 agent, and the first after it has changed: the only one that needs tasks.</summary>
    private async Task DiscoverThenSendAsync(UsmCredentials user)
    {
        try
        {
            (UsmSession? session, SnmpResult discovery) = await _client.Usm
                .DiscoverAsync(_target, user, _cancellation).ConfigureAwait(false);
            if (session is null)
            {
                Refuse(discovery);
                return;
            }

            _client.Usm.Keep(_target, session);
            Send();
        }
        catch (Exception)
        {
            _client.Statistics.CountFault();
            Refuse(Failed(new SaidByAgent(SnmpOutcome.ClientFault)));
        }
    }

    private void Refuse(SnmpResult failure)
    {
        _course.Ending = WalkEnding.RequestFailed;
        _course.Failure = failure;
        End();
    }

    private void End()
    {
        _course.Duration = _time.GetElapsedTime(_start);
        if (_course.Ending == WalkEnding.Unknown)
        {
            _course.Ending = _progress.HasAbandoned ? WalkEnding.RequestFailed
                : _progress.SawStepBack ? WalkEnding.NotIncreasing
                : WalkEnding.Complete;
            _state.WalkWasWhole();
            _state.ShapeOf(_request).Learn(_rows);
        }

        _registration.Dispose();
        _source.SetResult(new WalkResult(_request, _rows, _walker.RoomBack)
        {
            Ending = _course.Ending,
            Failure = _course.Failure,
            Requests = _course.Requests,
            Duration = _course.Duration,
            HasAnswer = _course.HasAnswer,
        });
    }

    private SnmpResult Failed(SaidByAgent said) => new()
    {
        Outcome = said.Outcome,
        Target = _target,
        ErrorStatus = said.ErrorStatus,
        ErrorIndex = said.ErrorIndex,
        RoundTrip = said.RoundTrip,
        Attempts = Attempts,
        Responder = said.Responder,
    };
}
