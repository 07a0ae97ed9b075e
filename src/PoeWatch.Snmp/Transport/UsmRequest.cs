using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Transport;

/// <summary>
/// A v3 request under a session. Each attempt is sealed anew, with the engine's time of that moment and a fresh salt.
/// </summary>
internal sealed class UsmRequest(SnmpTarget target, UsmSession session, RequestBody body, SnmpStatistics statistics)
    : PendingRequest(target, body)
{
    public override int Version => UsmMessage.Version;

    public override int EncodedSizeBound => ScopedBound + UsmEnvelope.SizeBound(ScopedBound);

    /// <summary>True where the Report that ended this request was signed: only such a one may move the engine's clock.</summary>
    public bool ReportWasAuthentic { get; private set; }

    private int ScopedBound => Body.EncodedSizeBound + ScopedPdu.OverheadBound;

    private MessageFlags Level => session.Credentials switch
    {
        { Privacy: not PrivacyProtocol.None } => MessageFlags.Authenticated | MessageFlags.Encrypted,
        { Auth: not AuthProtocol.None } => MessageFlags.Authenticated,
        _ => MessageFlags.None,
    };

    public override ReadOnlySpan<byte> Encode(Span<byte> buffer)
    {
        BerWriter scoped = new(buffer[..ScopedBound]);
        Body.Write(ref scoped, Id);
        ScopedPdu.Frame(ref scoped, session.EngineId, session.Credentials.ContextNameBytes);
        return UsmEnvelope.Seal(
            buffer[ScopedBound..], session, Id, Target.MaxMessageSize, Level | MessageFlags.Reportable,
            session.Clock.Now, scoped.Written);
    }

    /// <summary>The order is RFC 3414 section 3.2's: digest, time, level, and only then the content.</summary>
    public override Verdict Read(Span<byte> datagram, Arrival arrival, out SnmpResult? result)
    {
        result = null;
        if (!UsmMessage.TryRead(datagram, out UsmMessage message))
        {
            return Verdict.Malformed;
        }

        bool authentic = message.Flags.HasFlag(MessageFlags.Authenticated);
        bool encrypted = message.Flags.HasFlag(MessageFlags.Encrypted);
        if (authentic && !UsmEnvelope.IsAuthentic(datagram, message, session))
        {
            return Verdict.Untrusted;
        }

        bool inWindow = !authentic || session.Clock.Observe(message.EngineBoots, message.EngineTime);
        if (encrypted && (!authentic || !inWindow || session.Credentials.Privacy == PrivacyProtocol.None))
        {
            return Verdict.Untrusted;
        }

        if (!UsmEnvelope.TryOpen(message, session, out byte[] kept, out PduView pdu))
        {
            return Verdict.Malformed;
        }

        if (pdu.Type == PduType.Report)
        {
            ReportWasAuthentic = authentic && inWindow;
            result = ReadReport(pdu, arrival);
            return Verdict.Complete;
        }

        MessageFlags achieved = message.Flags & (MessageFlags.Authenticated | MessageFlags.Encrypted);
        bool fromEngine = message.EngineId.SequenceEqual(session.EngineId);
        return (achieved & Level) != Level || !inWindow || !fromEngine
            ? Verdict.Untrusted
            : ReadResponse(pdu, arrival, out result, kept);
    }

    private SnmpResult ReadReport(PduView pdu, Arrival arrival)
    {
        SnmpOutcome cause = ReportCause.Of(pdu);
        statistics.CountReport(cause);
        return Failure(cause) with { RoundTrip = arrival.RoundTrip, Responder = arrival.Responder };
    }
}

/// <summary>
/// Asks an agent for its engine id (RFC 3414 section 4): a request without user or engine, which it must refuse with a
/// Report that carries both id and clock. Nothing in that Report is authenticated, so the clock is only a guess.
/// </summary>
internal sealed class DiscoveryRequest(SnmpTarget target) : PendingRequest(target, new RequestBody(PduType.Get, []))
{
    public override int Version => UsmMessage.Version;

    public override int EncodedSizeBound => Body.EncodedSizeBound + ScopedPdu.OverheadBound + UsmMessage.OverheadBound;

    public byte[] EngineId { get; private set; } = [];

    public int EngineBoots { get; private set; }

    /// <summary>Seconds since the engine's last boot.</summary>
    public int EngineTime { get; private set; }

    public override ReadOnlySpan<byte> Encode(Span<byte> buffer)
    {
        BerWriter writer = new(buffer);
        Body.Write(ref writer, Id);
        ScopedPdu.Frame(ref writer, [], []);
        UsmHeader header = new()
        {
            MessageId = Id,
            MaxMessageSize = Target.MaxMessageSize,
            Flags = MessageFlags.Reportable,
        };
        UsmMessage.Frame(ref writer, header, 0, out _);
        return writer.Written;
    }

    public override Verdict Read(Span<byte> datagram, Arrival arrival, out SnmpResult? result)
    {
        result = null;
        if (!UsmMessage.TryRead(datagram, out UsmMessage message)
            || message.EngineId.IsEmpty
            || message.Flags.HasFlag(MessageFlags.Encrypted)
            || !ScopedPdu.TryRead(message.ScopedData, out PduView pdu)
            || pdu.Type != PduType.Report)
        {
            return Verdict.Malformed;
        }

        EngineId = message.EngineId.ToArray();
        EngineBoots = message.EngineBoots;
        EngineTime = message.EngineTime;
        result = Failure(SnmpOutcome.Answered) with { RoundTrip = arrival.RoundTrip, Responder = arrival.Responder };
        return Verdict.Complete;
    }
}
