using System.Net;
using System.Runtime.InteropServices;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Transport;

/// <summary>What reading a datagram for a request came to.</summary>
internal enum Verdict
{
    Unknown = 0,

    /// <summary>The request is done.</summary>
    Complete,

    /// <summary>Not a whole message; the request goes on waiting.</summary>
    Malformed,

    /// <summary>Not believable; the request goes on waiting.</summary>
    Untrusted,
}

/// <summary>How an answer came in.</summary>
internal readonly record struct Arrival(TimeSpan RoundTrip, IPEndPoint? Responder);

/// <summary>
/// A request that waits for its answer. The subclass knows the message version: how to encode an attempt and how far to
/// believe a datagram. The links belong to <see cref="TimerWheel"/>, the rest to <see cref="Dispatcher"/>.
/// </summary>
internal abstract class PendingRequest(SnmpTarget target, RequestBody body)
{
    private readonly TaskCompletionSource<SnmpResult> _completion =
        new(body.Inline ? TaskCreationOptions.None : TaskCreationOptions.RunContinuationsAsynchronously);
    private long _sentTimestamp;

    public SnmpTarget Target { get; } = target;

    public RequestBody Body { get; } = body;

    public int Id { get; set; }

    public int Attempts { get; set; }

    public long SentTimestamp
    {
        get => Volatile.Read(ref _sentTimestamp);
        set => Volatile.Write(ref _sentTimestamp, value);
    }

    /// <summary>What to say if no attempt is answered: silence, unless something else was noticed.</summary>
    public SnmpOutcome Trouble { get; set; } = SnmpOutcome.Timeout;

    public Task<SnmpResult> Completion => _completion.Task;

    public long DueTick { get; set; }

    public bool IsOnWheel { get; set; }

    public PendingRequest? WheelNext { get; set; }

    public PendingRequest? WheelPrevious { get; set; }

    /// <summary>The version field an answer must have.</summary>
    public abstract int Version { get; }

    /// <summary>A buffer size that is enough for any attempt.</summary>
    public abstract int EncodedSizeBound { get; }

    /// <summary>Encodes one attempt, anywhere in the buffer.</summary>
    public abstract ReadOnlySpan<byte> Encode(Span<byte> buffer);

    /// <summary>Reads a datagram whose version, id and sender fit. May overwrite the datagram.</summary>
    public abstract Verdict Read(Span<byte> datagram, Arrival arrival, out SnmpResult? result);

    public void Finish(SnmpResult result) => _completion.TrySetResult(result);

    public SnmpResult Failure(SnmpOutcome outcome) => new() { Outcome = outcome, Target = Target, Attempts = Attempts };

    /// <summary>
    /// Turns a response PDU into a result, whose values stay in <paramref name="kept"/> where the PDU was read from that,
    /// and are copied once where it was read from the receive thread's buffer.
    /// </summary>
    protected Verdict ReadResponse(PduView pdu, Arrival arrival, out SnmpResult? result, byte[]? kept = null)
    {
        result = null;
        if (pdu.Type != PduType.Response || pdu.RequestId != Id)
        {
            return Verdict.Malformed;
        }

        int offset = 0;
        if (kept is null || !((ReadOnlySpan<byte>)kept).Overlaps(pdu.VarBindList, out offset))
        {
            kept = pdu.VarBindList.ToArray();
        }

        if (!VarBindReader.TryDecode(kept, offset, pdu.VarBindList.Length, out VarBind[] varBinds))
        {
            return Verdict.Malformed;
        }

        result = new SnmpResult
        {
            Outcome = pdu.ErrorStatus switch
            {
                0 => SnmpOutcome.Answered,
                (int)SnmpErrorStatus.AuthorizationError => SnmpOutcome.AuthorizationError,
                _ => SnmpOutcome.AgentError,
            },
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
}

/// <summary>A v2c request.</summary>
internal sealed class CommunityRequest(SnmpTarget target, CommunityCredentials credentials, RequestBody body)
    : PendingRequest(target, body)
{
    public override int Version => CommunityMessage.Version;

    public override int EncodedSizeBound => Body.EncodedSizeBound + credentials.Community.Length;

    public override ReadOnlySpan<byte> Encode(Span<byte> buffer) =>
        CommunityMessage.Encode(buffer, credentials.Community, Id, Body);

    /// <summary>The community that comes back is not compared: it proves nothing, and some proxies change it.</summary>
    public override Verdict Read(Span<byte> datagram, Arrival arrival, out SnmpResult? result)
    {
        result = null;
        return CommunityMessage.TryRead(datagram, out _, out PduView pdu)
            ? ReadResponse(pdu, arrival, out result)
            : Verdict.Malformed;
    }
}
