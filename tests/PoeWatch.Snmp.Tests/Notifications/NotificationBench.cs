using System.Net;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Notifications;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Tests.Notifications;

/// <summary>The v3 reader of notifications without a socket, and an agent that signs what it sends.</summary>
internal sealed class NotificationBench
{
    public static readonly byte[] OurEngine = [0x80, 0, 0, 0, 5, 1, 2, 3];
    public static readonly byte[] AgentEngine = [0x80, 0, 0, 0, 5, 9, 9, 9];
    public static readonly IPAddress Address = IPAddress.Parse("192.0.2.10");
    private static readonly UserKeyCache Keys = new();

    private int _messageId;

    public NotificationBench(int boots = 3)
    {
        Engine = new LocalEngine(new EngineIdentity(OurEngine, boots), Time, Keys);
        Senders = new SenderEngines(Time, Keys);
        Usm = new UsmNotifications(Engine, Senders);
    }

    public FakeTimeProvider Time { get; } = new();

    public LocalEngine Engine { get; }

    public SenderEngines Senders { get; }

    public UsmNotifications Usm { get; }

    public NotificationVerdict Read(byte[] datagram, params SnmpCredentials[] credentials) =>
        Usm.Read(datagram, Address, [.. credentials.Select((c, i) => new NotificationSender($"agent-{i}", c))]);

    /// <summary>A linkDown signed by a user at an engine.</summary>
    public byte[] Message(
        UsmCredentials user, byte[] engineId, (int Boots, int Time) clock, PduType type = PduType.Trap,
        MessageFlags flags = MessageFlags.Authenticated | MessageFlags.Encrypted)
    {
        BerWriter pdu = new(new byte[512]);
        WriteVarBinds(ref pdu);
        pdu.Wrap(BerTag.Sequence, 0);
        pdu.WriteInteger(0);
        pdu.WriteInteger(0);
        pdu.WriteInteger(77);
        pdu.Wrap((byte)type, 0);
        ScopedPdu.Frame(ref pdu, engineId, []);
        UsmSession session = new(user, engineId, new EngineClock(Time, clock.Boots, clock.Time), Keys);
        return UsmEnvelope.Seal(new byte[2048], session, ++_messageId, 65507, flags, clock, pdu.Written).ToArray();
    }

    public byte[] Inform(UsmCredentials user, (int Boots, int Time) clock) => Message(
        user, OurEngine, clock, PduType.Inform, MessageFlags.Authenticated | MessageFlags.Encrypted | MessageFlags.Reportable);

    /// <summary>What our engine sent, opened as the sender of the inform would.</summary>
    public (PduType Type, int RequestId, VarBind[] VarBinds) Open(byte[] reply, UsmCredentials user)
    {
        UsmMessage.TryRead(reply, out UsmMessage message);
        UsmSession session = new(user, message.EngineId, new EngineClock(Time, message.EngineBoots, message.EngineTime), Keys);
        if (message.Flags.HasFlag(MessageFlags.Authenticated))
        {
            Assert.True(UsmEnvelope.IsAuthentic(reply, message, session));
        }

        Assert.True(UsmEnvelope.TryOpen(reply, message, session, out PduView pdu));
        byte[] list = pdu.VarBindList.ToArray();
        Assert.True(VarBindReader.TryDecode(list, 0, list.Length, out VarBind[] varBinds));
        return (pdu.Type, pdu.RequestId, varBinds);
    }

    private static void WriteVarBinds(ref BerWriter writer)
    {
        writer.WriteOid(Oid.Parse("1.3.6.1.6.3.1.1.5.3"));
        writer.WriteOid(Oid.Parse("1.3.6.1.6.3.1.1.4.1.0"));
        writer.Wrap(BerTag.Sequence, 0);
        int before = writer.Length;
        writer.WriteUnsigned(BerTag.TimeTicks, 100);
        writer.WriteOid(Oid.Parse("1.3.6.1.2.1.1.3.0"));
        writer.Wrap(BerTag.Sequence, before);
    }
}
