using System.Net;

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
/// believe a datagram. The links belong to <see cref="TimerWheel"/>, the marks to <see cref="PendingTable"/>, the rest to
/// <see cref="Dispatcher"/>. One thread at a time has a claim on it, and only that one encodes, reads or finishes it; so an object
/// may be sent again and again under new ids.
/// </summary>
internal abstract class PendingRequest
{
    private long _sentTimestamp;

    public abstract SnmpTarget Target { get; }

    public int Id { get; set; }

    public int Attempts { get; set; }

    public long SentTimestamp
    {
        get => Volatile.Read(ref _sentTimestamp);
        set => Volatile.Write(ref _sentTimestamp, value);
    }

    /// <summary>What to say if no attempt is answered: silence, unless something else was noticed.</summary>
    public SnmpOutcome Trouble { get; set; } = SnmpOutcome.Timeout;

    public long DueTick { get; set; }

    public bool IsOnWheel { get; set; }

    /// <summary>Some thread is at work on it.</summary>
    public bool IsClaimed { get; set; }

    /// <summary>The caller gave up.</summary>
    public bool IsCancelled { get; set; }

    public PendingRequest? WheelNext { get; set; }

    public PendingRequest? WheelPrevious { get; set; }

    /// <summary>The version field an answer must have.</summary>
    public abstract int Version { get; }

    /// <summary>A buffer size that is enough for any attempt.</summary>
    public abstract int EncodedSizeBound { get; }

    /// <summary>Encodes one attempt, anywhere in the buffer.</summary>
    public abstract ReadOnlySpan<byte> Encode(Span<byte> buffer);

    /// <summary>
    /// Reads a datagram whose version, id and sender fit, and keeps what it says until <see cref="Finish"/>. May overwrite the datagram.
    /// </summary>
    public abstract Verdict Read(Span<byte> datagram, Arrival arrival);

    /// <summary>The end: <see cref="SnmpOutcome.Answered"/> where something was read, else why nothing was.</summary>
    public abstract void Finish(SnmpOutcome outcome);
}
