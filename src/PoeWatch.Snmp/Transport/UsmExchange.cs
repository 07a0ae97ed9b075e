using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Transport;

/// <summary>How a v3 request is closed and its answer opened under a session: the same for requests on their own and for walks.</summary>
internal static class UsmExchange
{
    /// <summary>The security level that is asked at and that an answer must have.</summary>
    public static MessageFlags LevelOf(UsmSession session) => session.Credentials switch
    {
        { Privacy: not PrivacyProtocol.None } => MessageFlags.Authenticated | MessageFlags.Encrypted,
        { Auth: not AuthProtocol.None } => MessageFlags.Authenticated,
        _ => MessageFlags.None,
    };

    /// <summary>Closes a message around a scoped PDU, with the engine's time of this moment and a fresh salt.</summary>
    public static ReadOnlySpan<byte> Seal(Span<byte> buffer, UsmSession session, SnmpTarget target, int id, ReadOnlySpan<byte> scopedPdu) =>
        UsmEnvelope.Seal(
            buffer, session, id, target.MaxMessageSize, LevelOf(session) | MessageFlags.Reportable, session.Clock.Now, scopedPdu);

    /// <summary>
    /// Opens a datagram in place. Complete means: a Report, signed or not, or a PDU that the engine signed and encrypted as asked. The order
    /// is RFC 3414 section 3.2's: digest, time, level, and only then the content.
    /// </summary>
    public static Verdict Open(Span<byte> datagram, UsmSession session, out PduView pdu, out bool isSigned)
    {
        pdu = default;
        isSigned = false;
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

        if (!UsmEnvelope.TryOpen(datagram, message, session, out pdu))
        {
            return Verdict.Malformed;
        }

        isSigned = authentic && inWindow;
        if (pdu.Type == PduType.Report)
        {
            return Verdict.Complete;
        }

        MessageFlags level = LevelOf(session);
        bool fromEngine = message.EngineId.SequenceEqual(session.EngineId);
        return (message.Flags & level) != level || !inWindow || !fromEngine ? Verdict.Untrusted : Verdict.Complete;
    }
}
