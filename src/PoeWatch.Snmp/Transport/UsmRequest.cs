using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Transport;

/// <summary>
/// A v3 request under a session. Each attempt is sealed anew, with the engine's time of that moment and a fresh salt.
/// </summary>
internal sealed class UsmRequest(SnmpTarget target, UsmSession session, RequestBody body, SnmpStatistics statistics)
    : SingleRequest(target, body)
{
    public override int Version => UsmMessage.Version;

    public override int EncodedSizeBound => ScopedBound + UsmEnvelope.SizeBound(ScopedBound);

    /// <summary>True where the Report that ended this request was signed: only such a one may move the engine's clock.</summary>
    public bool ReportWasAuthentic { get; private set; }

    private int ScopedBound => Body.EncodedSizeBound + ScopedPdu.OverheadBound;

    public override ReadOnlySpan<byte> Encode(Span<byte> buffer)
    {
        BerWriter scoped = new(buffer[..ScopedBound]);
        Body.Write(ref scoped, Id);
        ScopedPdu.Frame(ref scoped, session.EngineId, session.Credentials.ContextNameBytes);
        return UsmExchange.Seal(buffer[ScopedBound..], session, Target, Id, scoped.Written);
    }

    public override Verdict Read(Span<byte> datagram, Arrival arrival)
    {
        Verdict verdict = UsmExchange.Open(datagram, session, out PduView pdu, out bool isSigned);
        if (verdict != Verdict.Complete || pdu.Type != PduType.Report)
        {
            return verdict == Verdict.Complete ? ReadResponse(pdu, arrival) : verdict;
        }

        ReportWasAuthentic = isSigned;
        Result = ReadReport(pdu, arrival);
        return Verdict.Complete;
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
internal sealed class DiscoveryRequest(SnmpTarget target) : SingleRequest(target, new RequestBody(PduType.Get, []))
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

    public override Verdict Read(Span<byte> datagram, Arrival arrival)
    {
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
        Result = Failure(SnmpOutcome.Answered) with { RoundTrip = arrival.RoundTrip, Responder = arrival.Responder };
        return Verdict.Complete;
    }
}
