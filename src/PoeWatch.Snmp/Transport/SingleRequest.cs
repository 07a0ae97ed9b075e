using System.Runtime.InteropServices;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Transport;

/// <summary>A request on its own, whose answer is an object for the caller to keep.</summary>
internal abstract class SingleRequest(SnmpTarget target, RequestBody body) : PendingRequest
{
    private readonly TaskCompletionSource<SnmpResult> _completion = new(TaskCreationOptions.RunContinuationsAsynchronously);

    public override SnmpTarget Target { get; } = target;

    public RequestBody Body { get; } = body;

    public Task<SnmpResult> Completion => _completion.Task;

    /// <summary>What the last datagram said, if it completed the request.</summary>
    public SnmpResult? Result { get; protected set; }

    public override void Finish(SnmpOutcome outcome) =>
        _completion.TrySetResult(outcome == SnmpOutcome.Answered && Result is { } result ? result : Failure(outcome));

    public SnmpResult Failure(SnmpOutcome outcome) => new() { Outcome = outcome, Target = Target, Attempts = Attempts };

    /// <summary>Turns a response PDU into a result, whose values are copied once out of the receive thread's buffer.</summary>
    protected Verdict ReadResponse(PduView pdu, Arrival arrival)
    {
        if (pdu.Type != PduType.Response || pdu.RequestId != Id)
        {
            return Verdict.Malformed;
        }

        byte[] kept = pdu.VarBindList.ToArray();
        if (!VarBindReader.TryDecode(kept, 0, kept.Length, out VarBind[] varBinds))
        {
            return Verdict.Malformed;
        }

        Result = new SnmpResult
        {
            Outcome = OutcomeOf(pdu.ErrorStatus),
            Target = Target,
            VarBinds = ImmutableCollectionsMarshal.AsImmutableArray(varBinds),
            ErrorStatus = (SnmpErrorStatus)pdu.ErrorStatus,
            ErrorIndex = pdu.ErrorIndex,
            RoundTrip = arrival.RoundTrip,
            Attempts = Attempts,
            Responder = arrival.Responder,
        };
        return Verdict.Complete;
    }

    public static SnmpOutcome OutcomeOf(int errorStatus) => errorStatus switch
    {
        0 => SnmpOutcome.Answered,
        (int)SnmpErrorStatus.AuthorizationError => SnmpOutcome.AuthorizationError,
        _ => SnmpOutcome.AgentError,
    };
}

/// <summary>A v2c request.</summary>
internal sealed class CommunityRequest(SnmpTarget target, CommunityCredentials credentials, RequestBody body)
    : SingleRequest(target, body)
{
    public override int Version => CommunityMessage.Version;

    public override int EncodedSizeBound => Body.EncodedSizeBound + credentials.Community.Length;

    public override ReadOnlySpan<byte> Encode(Span<byte> buffer) =>
        CommunityMessage.Encode(buffer, credentials.Community, Id, Body);

    /// <summary>The community that comes back is not compared: it proves nothing, and some proxies change it.</summary>
    public override Verdict Read(Span<byte> datagram, Arrival arrival) =>
        CommunityMessage.TryRead(datagram, out _, out PduView pdu) ? ReadResponse(pdu, arrival) : Verdict.Malformed;
}
