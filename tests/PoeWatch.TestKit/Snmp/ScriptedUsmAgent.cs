using System.Net;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.TestKit.Snmp;

/// <summary>What a <see cref="ScriptedUsmAgent"/> does wrong with one request that it understood.</summary>
public enum UsmFault
{
    None = 0,
    Silence,

    /// <summary>Answers without digest or privacy whatever was asked.</summary>
    AnswersInTheClear,

    /// <summary>Answers signed but not encrypted.</summary>
    AnswersUnencrypted,

    /// <summary>Answers with a digest of another key.</summary>
    BadDigest,

    /// <summary>Answers as it would have 200 s ago: what a replay looks like once its id is made to fit.</summary>
    OldTime,

    /// <summary>Answers under another engine id.</summary>
    OtherEngine,

    /// <summary>Reports a time fault without signing it.</summary>
    UnsignedTimeReport,

    /// <summary>Changes one byte inside of the signed answer.</summary>
    Tampered,
}

/// <summary>
/// An SNMPv3 agent for one user on a real loopback socket. It checks requests in the order of RFC 3414 section 3.2 and
/// reports as told there; a request that does not decrypt is dropped in silence, as Net-SNMP's agent does.
/// It shares the envelope code with the manager, so it proves behaviour, not encoding: agents not written here do that.
/// </summary>
public sealed class ScriptedUsmAgent(UsmCredentials user, byte[]? engineId = null) : LoopbackAgent(null)
{
    private readonly UserKeyCache _keys = new();
    private readonly Lock _lock = new();
    private byte[] _engineId = engineId ?? Convert.FromHexString("80001F8880A1B2C3D4E5F60708");

    public AgentTable Table { get; } = new();

    /// <summary>The engine's clock; set it to play a restart or a drift.</summary>
    public int Boots { get; set; } = 7;

    /// <summary>Seconds since the last boot.</summary>
    public int Time { get; set; } = 1000;

    /// <summary>What discovery tells of the clock; null tells the truth.</summary>
    public (int Boots, int Time)? ClockTold { get; set; }

    /// <summary>What signed reports tell of the clock; null tells the truth.</summary>
    public (int Boots, int Time)? ClockReported { get; set; }

    public UsmFault Fault { get; set; }

    /// <summary>How many of each report were sent, by what they say.</summary>
    public Dictionary<SnmpOutcome, int> Reports { get; } = [];

    public int Discoveries { get; private set; }

    public int Answers { get; private set; }

    public void BecomeAnotherEngine(byte[] engineId)
    {
        lock (_lock)
        {
            _engineId = engineId;
        }
    }

    private protected override async Task HandleAsync(byte[] datagram, EndPoint client)
    {
        byte[]? answer;
        lock (_lock)
        {
            answer = Answer(datagram);
        }

        if (answer is not null)
        {
            await SendAsync(answer, client);
        }
    }

    private byte[]? Answer(byte[] datagram)
    {
        if (!UsmMessage.TryRead(datagram, out UsmMessage message))
        {
            return null;
        }

        MessageFlags level = message.Flags & (MessageFlags.Authenticated | MessageFlags.Encrypted);
        UsmSession session = new(user, _engineId, new EngineClock(TimeProvider.System, Boots, Time), _keys);
        if (!message.EngineId.SequenceEqual(_engineId))
        {
            Discoveries += message.EngineId.IsEmpty ? 1 : 0;
            return Report(session, message.MessageId, 4, SnmpOutcome.UnknownEngine, MessageFlags.None, ClockTold ?? (Boots, Time));
        }

        if (!message.UserName.SequenceEqual(user.UserNameBytes))
        {
            return Report(session, message.MessageId, 3, SnmpOutcome.UnknownUser, MessageFlags.None, (Boots, Time));
        }

        if ((level.HasFlag(MessageFlags.Authenticated) && user.Auth == AuthProtocol.None)
            || (level.HasFlag(MessageFlags.Encrypted) && user.Privacy == PrivacyProtocol.None))
        {
            return Report(session, message.MessageId, 1, SnmpOutcome.UnsupportedSecurityLevel, MessageFlags.None, (Boots, Time));
        }

        if (level != MessageFlags.None && !UsmEnvelope.IsAuthentic(datagram, message, session))
        {
            return Report(session, message.MessageId, 5, SnmpOutcome.WrongDigest, MessageFlags.None, (Boots, Time));
        }

        bool inTime = message.EngineBoots == Boots && Math.Abs(message.EngineTime - Time) <= EngineClock.WindowSeconds;
        if (level != MessageFlags.None && (!inTime || Fault == UsmFault.UnsignedTimeReport))
        {
            MessageFlags signed = Fault == UsmFault.UnsignedTimeReport ? MessageFlags.None : MessageFlags.Authenticated;
            return Report(session, message.MessageId, 2, SnmpOutcome.NotInTimeWindow, signed, ClockReported ?? (Boots, Time));
        }

        return UsmEnvelope.TryOpen(datagram, message, session, out PduView pdu)
            && RequestMessage.TryDecodeOids(pdu, out Oid[] oids)
            && Fault != UsmFault.Silence
            ? Respond(session, message.MessageId, level, pdu, oids)
            : null;
    }

    private byte[] Respond(UsmSession session, int messageId, MessageFlags level, PduView pdu, Oid[] oids)
    {
        Answers++;
        List<VarBind> varBinds = Table.Answer(pdu.Type, oids, pdu.ErrorStatus, pdu.ErrorIndex, stuck: false);
        level = Fault switch
        {
            UsmFault.AnswersInTheClear => MessageFlags.None,
            UsmFault.AnswersUnencrypted => MessageFlags.Authenticated,
            _ => level,
        };
        UsmSession sealing = Fault switch
        {
            UsmFault.OtherEngine => new UsmSession(user, [1, 2, 3, 4, 5], session.Clock, _keys),
            UsmFault.BadDigest => new UsmSession(
                new UsmCredentials(user.UserName, user.Auth, "another passphrase", user.Privacy, "another passphrase"),
                _engineId, session.Clock, _keys),
            _ => session,
        };
        int time = Fault == UsmFault.OldTime ? Time - 200 : Time;
        byte[] answer = Seal(sealing, messageId, level, (Boots, time), PduType.Response, pdu.RequestId, varBinds);
        if (Fault == UsmFault.Tampered)
        {
            answer[^1] ^= 1;
        }

        return answer;
    }

    private byte[] Report(
        UsmSession session, int messageId, uint counter, SnmpOutcome says, MessageFlags level, (int Boots, int Time) clock)
    {
        Reports[says] = Reports.GetValueOrDefault(says) + 1;
        VarBind reason = new(Oid.From(1, 3, 6, 1, 6, 3, 15, 1, 1, counter, 0), SnmpValue.Counter32((uint)Reports[says]));
        return Seal(session, messageId, level, clock, PduType.Report, 0, [reason]);
    }

    private static byte[] Seal(
        UsmSession session, int messageId, MessageFlags level, (int Boots, int Time) clock,
        PduType type, int requestId, List<VarBind> varBinds)
    {
        BerWriter scoped = new(new byte[8192]);
        ResponseEncoder.WritePdu(ref scoped, type, requestId, 0, 0, varBinds);
        ScopedPdu.Frame(ref scoped, session.EngineId, []);
        return UsmEnvelope.Seal(new byte[16_384], session, messageId, 65_507, level, clock, scoped.Written).ToArray();
    }
}
