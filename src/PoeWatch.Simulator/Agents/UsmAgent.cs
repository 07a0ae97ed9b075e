using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Simulator.Agents;

/// <summary>
/// The authoritative side of the User-based Security Model with one user (RFC 3414 section 3.2): tells its engine id, checks user,
/// level, digest and time window, decrypts, and reports what is wrong. For one thread at a time.
/// </summary>
internal sealed class UsmAgent(MibView view, UsmCredentials user, ReadOnlyMemory<byte> engineId, UserKeyCache userKeys)
{
    /// <summary>RFC 3412 section 6.3: nobody may claim to take less.</summary>
    private const int LeastMaxSize = 484;

    /// <summary>Headers and numbers of a v3 message around what differs from agent to agent, with a little to spare.</summary>
    private const int FixedOverhead = 96;

    private const MessageFlags LevelBits = MessageFlags.Authenticated | MessageFlags.Encrypted;

    private readonly UsmKeys _keys = new(user, engineId.Span, userKeys);
    private readonly ReportCounters _counters = new();
    private readonly byte[] _scopedBuffer = new byte[2 * SimulatedAgent.MaxMessageSize];

    private MessageFlags UserLevel => (user.Auth, user.Privacy) switch
    {
        (AuthProtocol.None, _) => MessageFlags.None,
        (_, PrivacyProtocol.None) => MessageFlags.Authenticated,
        _ => LevelBits,
    };

    /// <summary>Writes the answer at the end of the buffer and gives its length; 0 where the agent stays silent.</summary>
    public int Respond(ReadOnlySpan<byte> datagram, AgentMoment moment, Span<byte> buffer)
    {
        if (!UsmMessage.TryRead(datagram, out var message) || !TryReadMaxSize(datagram, out var maxSize))
        {
            return 0;
        }

        var level = message.Flags & LevelBits;
        if (level == MessageFlags.Encrypted)
        {
            // RFC 3412 section 7.2 step 5d: privacy without authentication is no level.
            return 0;
        }

        if (Objection(message, level, moment) is { } objection)
        {
            return Report(message, objection, moment, buffer);
        }

        var scoped = message.ScopedData;
        if (level == LevelBits)
        {
            if (!PrivacyCipher.TryDecrypt(
                user.Privacy, _keys.Privacy, message.EngineBoots, message.EngineTime, message.Salt, scoped, out var plain))
            {
                return Report(message, UsmReport.DecryptionErrors, moment, buffer);
            }

            scoped = plain;
        }

        // A wrong privacy key deciphers to rubbish: it cannot be read, and nobody is told (RFC 3412 section 7.2 step 7).
        return TryReadScoped(scoped, out var contextName, out var pdu)
            ? Reply(message, level, contextName, pdu, maxSize, moment, buffer)
            : 0;
    }

    private UsmReport? Objection(in UsmMessage message, MessageFlags level, AgentMoment moment)
    {
        if (!message.EngineId.SequenceEqual(engineId.Span))
        {
            return UsmReport.UnknownEngineIds;
        }

        if (!message.UserName.SequenceEqual(user.UserNameBytes))
        {
            return UsmReport.UnknownUserNames;
        }

        if ((level & ~UserLevel) != MessageFlags.None)
        {
            return UsmReport.UnsupportedSecLevels;
        }

        if (!level.HasFlag(MessageFlags.Authenticated))
        {
            return null;
        }

        if (!IsGenuine(message))
        {
            return UsmReport.WrongDigests;
        }

        var isInWindow = message.EngineBoots == moment.EngineBoots
            && Math.Abs((long)message.EngineTime - moment.EngineTimeSeconds) <= EngineClock.WindowSeconds;
        return isInWindow ? null : UsmReport.NotInTimeWindows;
    }

    private bool IsGenuine(in UsmMessage message)
    {
        if (!message.Whole.Overlaps(message.Digest, out var offset))
        {
            return false;
        }

        return AuthAlgorithm.Verify(user.Auth, _keys.Auth, message.Whole.ToArray(), offset, message.Digest.Length);
    }

    private int Reply(
        in UsmMessage message,
        MessageFlags level,
        ReadOnlySpan<byte> contextName,
        in PduView pdu,
        int maxSize,
        AgentMoment moment,
        Span<byte> buffer)
    {
        if (!contextName.SequenceEqual(user.ContextNameBytes) && !contextName.IsEmpty)
        {
            return Report(message, UsmReport.UnknownContexts, moment, buffer);
        }

        var overhead = FixedOverhead + (2 * engineId.Length) + message.UserName.Length + contextName.Length
            + AuthAlgorithm.DigestLength(user.Auth);
        var writer = new BerWriter(_scopedBuffer);
        if (level != UserLevel)
        {
            // The user may read at the level it was given only: RFC 3415 has no access entry for less (noSuchContext aside).
            Answer.Write(ref writer, PduType.Response, pdu.RequestId, SnmpErrorStatus.AuthorizationError, pdu.VarBindList);
        }
        else if (!Answer.TryWrite(pdu, view, moment, Math.Min(maxSize, SimulatedAgent.MaxMessageSize) - overhead, ref writer))
        {
            return 0;
        }

        WrapScoped(ref writer, contextName);
        return Frame(writer.Written, level, message, moment, buffer);
    }

    private int Report(in UsmMessage message, UsmReport report, AgentMoment moment, Span<byte> buffer)
    {
        var count = _counters.Count(report);
        if (!message.Flags.HasFlag(MessageFlags.Reportable))
        {
            return 0;
        }

        var isReadable = !message.Flags.HasFlag(MessageFlags.Encrypted);
        var requestId = isReadable && TryReadScoped(message.ScopedData, out _, out var pdu) ? pdu.RequestId : 0;
        var list = new VarBindList(new byte[64]);
        list.TryAdd(ReportCounters.NameOf(report), count);
        var writer = new BerWriter(_scopedBuffer);
        Answer.Write(ref writer, PduType.Report, requestId, SnmpErrorStatus.NoError, list.Encoded);
        WrapScoped(ref writer, []);
        // RFC 3414 section 3.2 step 7: only the report on time is signed, so that a manager may set its clock by it.
        var level = report == UsmReport.NotInTimeWindows ? MessageFlags.Authenticated : MessageFlags.None;
        return Frame(writer.Written, level, message, moment, buffer);
    }

    private void WrapScoped(ref BerWriter writer, ReadOnlySpan<byte> contextName)
    {
        writer.WriteOctets(BerTag.OctetString, contextName);
        writer.WriteOctets(BerTag.OctetString, engineId.Span);
        writer.Wrap(BerTag.Sequence, 0);
    }

    private int Frame(
        ReadOnlySpan<byte> scoped, MessageFlags level, in UsmMessage request, AgentMoment moment, Span<byte> buffer)
    {
        var writer = new BerWriter(buffer);
        Span<byte> salt = stackalloc byte[PrivacyCipher.SaltLength];
        if (level.HasFlag(MessageFlags.Encrypted))
        {
            PrivacyCipher.WriteSalt(user.Privacy, moment.EngineBoots, _keys.NextSalt(), salt);
            var encrypted = new byte[PrivacyCipher.EncryptedLength(user.Privacy, scoped.Length)];
            PrivacyCipher.Encrypt(user.Privacy, _keys.Privacy, moment.EngineBoots, moment.EngineTimeSeconds, salt, scoped, encrypted);
            writer.WriteOctets(BerTag.OctetString, encrypted);
        }
        else
        {
            salt = [];
            writer.WriteRaw(scoped);
        }

        var header = new UsmHeader
        {
            MessageId = request.MessageId,
            MaxMessageSize = SimulatedAgent.MaxMessageSize,
            Flags = level,
            EngineId = engineId.Span,
            EngineBoots = moment.EngineBoots,
            EngineTime = moment.EngineTimeSeconds,
            UserName = request.UserName,
            Salt = salt,
        };
        var isSigned = level.HasFlag(MessageFlags.Authenticated);
        UsmMessage.Frame(ref writer, header, isSigned ? AuthAlgorithm.DigestLength(user.Auth) : 0, out var digestFromEnd);
        if (isSigned)
        {
            AuthAlgorithm.Sign(user.Auth, _keys.Auth, writer.Written, writer.Length - digestFromEnd);
        }

        return writer.Length;
    }

    private static bool TryReadScoped(ReadOnlySpan<byte> scoped, out ReadOnlySpan<byte> contextName, out PduView pdu)
    {
        contextName = default;
        pdu = default;
        var reader = new BerReader(scoped);
        return reader.TryEnter(BerTag.Sequence, out var inside)
            && inside.TryReadElement(BerTag.OctetString, out _)
            && inside.TryReadElement(BerTag.OctetString, out contextName)
            && PduView.TryRead(ref inside, out pdu);
    }

    // RFC 3412 section 7.1: an answer may be no larger than the asker takes.
    private static bool TryReadMaxSize(ReadOnlySpan<byte> datagram, out int maxSize)
    {
        maxSize = 0;
        var outer = new BerReader(datagram);
        return outer.TryEnter(BerTag.Sequence, out var message)
            && message.TryReadInt32(out _)
            && message.TryEnter(BerTag.Sequence, out var global)
            && global.TryReadInt32(out _)
            && global.TryReadInt32(out maxSize)
            && maxSize >= LeastMaxSize;
    }
}
