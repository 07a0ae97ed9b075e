using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Notifications;

/// <summary>Messages that our engine sends to senders of informs: Reports (RFC 3414 section 3.2) and answers. Not thread safe.</summary>
internal sealed class UsmReports(LocalEngine engine)
{
    private static readonly Oid UsmStats = Oid.Parse("1.3.6.1.6.3.15.1.1");

    private readonly long[] _counts = new long[7];

    /// <summary>An unsigned Report that a request does not hold; it tells our engine id, boots and time.</summary>
    /// <param name="counter">Which of usmStats, by its last number in RFC 3414 section 5.</param>
    public byte[] Plain(in UsmMessage about, UsmCounter counter)
    {
        byte[] scoped = Scoped(counter, RequestIdOf(about));
        BerWriter writer = new(new byte[UsmEnvelope.SizeBound(scoped.Length)]);
        writer.WriteRaw(scoped);
        UsmHeader header = new()
        {
            MessageId = about.MessageId,
            MaxMessageSize = SnmpTarget.LargestMessageSize,
            Flags = MessageFlags.None,
            EngineId = engine.Id,
            EngineBoots = engine.Boots,
            EngineTime = engine.Time,
            UserName = about.UserName,
        };
        UsmMessage.Frame(ref writer, header, 0, out _);
        return writer.Written.ToArray();
    }

    /// <summary>The Report that sets a sender's clock: signed, else nobody should believe it.</summary>
    public byte[] NotInTimeWindow(in UsmMessage about, UsmSession session) =>
        Seal(session, about.MessageId, MessageFlags.Authenticated, Scoped(UsmCounter.NotInTimeWindows, 0));

    /// <summary>The answer to an inform, at the level that it came with.</summary>
    public byte[] Response(in UsmMessage about, UsmSession session, in ScopeView scope)
    {
        BerWriter writer = new(new byte[NotificationContent.ResponseBound(scope.Pdu) + ScopedPdu.OverheadBound]);
        NotificationContent.WriteResponse(ref writer, scope.Pdu);
        ScopedPdu.Frame(ref writer, scope.ContextEngineId, scope.ContextName);
        return Seal(session, about.MessageId, about.Flags & ~MessageFlags.Reportable, writer.Written);
    }

    private byte[] Seal(UsmSession session, int messageId, MessageFlags flags, ReadOnlySpan<byte> scoped) =>
        UsmEnvelope.Seal(
            new byte[UsmEnvelope.SizeBound(scoped.Length + 16)], session, messageId, SnmpTarget.LargestMessageSize, flags,
            (engine.Boots, engine.Time), scoped).ToArray();

    private byte[] Scoped(UsmCounter counter, int requestId)
    {
        BerWriter writer = new(new byte[256]);
        NotificationContent.WriteReport(ref writer, UsmStats.Append((uint)counter, 0), ++_counts[(int)counter], requestId);
        ScopedPdu.Frame(ref writer, engine.Id, []);
        return writer.Written.ToArray();
    }

    // RFC 3412 section 7.1.3: the request's own id where it can be read, else 0.
    private static int RequestIdOf(in UsmMessage about) =>
        !about.Flags.HasFlag(MessageFlags.Encrypted) && ScopedPdu.TryRead(about.ScopedData, out PduView pdu) ? pdu.RequestId : 0;
}

/// <summary>The counters of RFC 3414 section 5, by the last number of their OID.</summary>
internal enum UsmCounter
{
    Unknown = 0,
    UnsupportedSecLevels = 1,
    NotInTimeWindows = 2,
    UnknownUserNames = 3,
    UnknownEngineIds = 4,
    WrongDigests = 5,
    DecryptionErrors = 6,
}

/// <summary>A scoped PDU with its scope, which an answer repeats.</summary>
internal readonly ref struct ScopeView
{
    public ReadOnlySpan<byte> ContextEngineId { get; private init; }

    public ReadOnlySpan<byte> ContextName { get; private init; }

    public PduView Pdu { get; private init; }

    public static bool TryRead(ReadOnlySpan<byte> data, out ScopeView view)
    {
        view = default;
        BerReader outer = new(data);
        if (!outer.TryEnter(BerTag.Sequence, out BerReader scope)
            || !scope.TryReadElement(BerTag.OctetString, out ReadOnlySpan<byte> engineId) || engineId.Length > UsmMessage.MaxEngineIdLength
            || !scope.TryReadElement(BerTag.OctetString, out ReadOnlySpan<byte> name) || name.Length > 32
            || !PduView.TryRead(ref scope, out PduView pdu))
        {
            return false;
        }

        view = new ScopeView { ContextEngineId = engineId, ContextName = name, Pdu = pdu };
        return true;
    }
}
