namespace PoeWatch.Snmp.Codec;

/// <summary>The msgFlags bits (RFC 3412 section 6.4).</summary>
[Flags]
internal enum MessageFlags : byte
{
    None = 0,
    Authenticated = 1,
    Encrypted = 2,
    Reportable = 4,
}

/// <summary>
/// An SNMPv3 message with USM parameters as read (RFC 3412 section 6, RFC 3414 section 2.4). The spans refer to the
/// datagram; nothing is verified or decrypted yet.
/// </summary>
internal readonly ref struct UsmMessage
{
    /// <summary>The version field of SNMPv3.</summary>
    public const int Version = 3;

    /// <summary>The security model number of USM.</summary>
    public const int SecurityModel = 3;

    /// <summary>RFC 3411 SnmpEngineID: at most 32 octets.</summary>
    public const int MaxEngineIdLength = 32;

    /// <summary>What a message costs beside its scoped PDU, as an upper bound.</summary>
    public const int OverheadBound = 320;

    /// <summary>The message's own bytes, without anything that follows it in the datagram: what the digest covers.</summary>
    public ReadOnlySpan<byte> Whole { get; private init; }

    public int MessageId { get; private init; }

    public MessageFlags Flags { get; private init; }

    public ReadOnlySpan<byte> EngineId { get; private init; }

    public int EngineBoots { get; private init; }

    /// <summary>Seconds since the engine last booted.</summary>
    public int EngineTime { get; private init; }

    public ReadOnlySpan<byte> UserName { get; private init; }

    public ReadOnlySpan<byte> Digest { get; private init; }

    public ReadOnlySpan<byte> Salt { get; private init; }

    /// <summary>The scoped PDU as an element, or where <see cref="MessageFlags.Encrypted"/> is set the encrypted octets.</summary>
    public ReadOnlySpan<byte> ScopedData { get; private init; }

    public static bool TryRead(ReadOnlySpan<byte> datagram, out UsmMessage message)
    {
        message = default;
        BerReader outer = new(datagram);
        if (!outer.TryEnter(BerTag.Sequence, out BerReader body)
            || !body.TryReadInt32(out int version) || version != Version
            || !body.TryEnter(BerTag.Sequence, out BerReader global)
            || !global.TryReadInt32(out int messageId)
            || !global.TryReadInt32(out _)
            || !global.TryReadElement(BerTag.OctetString, out ReadOnlySpan<byte> flags) || flags.Length != 1
            || !global.TryReadInt32(out int model) || model != SecurityModel
            || !body.TryReadElement(BerTag.OctetString, out ReadOnlySpan<byte> security)
            || !new BerReader(security).TryEnter(BerTag.Sequence, out BerReader usm)
            || !usm.TryReadElement(BerTag.OctetString, out ReadOnlySpan<byte> engineId) || engineId.Length > MaxEngineIdLength
            || !usm.TryReadInt32(out int boots) || boots < 0
            || !usm.TryReadInt32(out int time) || time < 0
            || !usm.TryReadElement(BerTag.OctetString, out ReadOnlySpan<byte> user)
            || !usm.TryReadElement(BerTag.OctetString, out ReadOnlySpan<byte> digest)
            || !usm.TryReadElement(BerTag.OctetString, out ReadOnlySpan<byte> salt))
        {
            return false;
        }

        MessageFlags messageFlags = (MessageFlags)flags[0];
        ReadOnlySpan<byte> scoped = body.Rest;
        if (messageFlags.HasFlag(MessageFlags.Encrypted) && !body.TryReadElement(BerTag.OctetString, out scoped))
        {
            return false;
        }

        message = new UsmMessage
        {
            Whole = datagram[..^outer.Rest.Length],
            MessageId = messageId,
            Flags = messageFlags,
            EngineId = engineId,
            EngineBoots = boots,
            EngineTime = time,
            UserName = user,
            Digest = digest,
            Salt = salt,
            ScopedData = scoped,
        };
        return true;
    }

    /// <summary>
    /// Puts the headers before scoped data that is written already (the scoped PDU, or an OCTET STRING where encrypted) and
    /// closes the message. Where a digest is wanted its place is filled with <paramref name="digestLength"/> zeros and
    /// <paramref name="digestFromEnd"/> says how far that place starts before the end.
    /// </summary>
    public static void Frame(ref BerWriter writer, scoped UsmHeader header, int digestLength, out int digestFromEnd)
    {
        int beforeSecurity = writer.Length;
        writer.WriteOctets(BerTag.OctetString, header.Salt);
        Span<byte> noDigest = stackalloc byte[digestLength];
        noDigest.Clear();
        writer.WriteRaw(noDigest);
        digestFromEnd = writer.Length;
        writer.Wrap(BerTag.OctetString, digestFromEnd - digestLength);
        writer.WriteOctets(BerTag.OctetString, header.UserName);
        writer.WriteInteger(header.EngineTime);
        writer.WriteInteger(header.EngineBoots);
        writer.WriteOctets(BerTag.OctetString, header.EngineId);
        writer.Wrap(BerTag.Sequence, beforeSecurity);
        writer.Wrap(BerTag.OctetString, beforeSecurity);

        int beforeGlobal = writer.Length;
        writer.WriteInteger(SecurityModel);
        writer.WriteOctets(BerTag.OctetString, [(byte)header.Flags]);
        writer.WriteInteger(header.MaxMessageSize);
        writer.WriteInteger(header.MessageId);
        writer.Wrap(BerTag.Sequence, beforeGlobal);
        writer.WriteInteger(Version);
        writer.Wrap(BerTag.Sequence, 0);
    }
}

/// <summary>The header fields of a v3 message to be written.</summary>
internal readonly ref struct UsmHeader
{
    public required int MessageId { get; init; }

    public required int MaxMessageSize { get; init; }

    public required MessageFlags Flags { get; init; }

    public ReadOnlySpan<byte> EngineId { get; init; }

    public int EngineBoots { get; init; }

    public int EngineTime { get; init; }

    public ReadOnlySpan<byte> UserName { get; init; }

    public ReadOnlySpan<byte> Salt { get; init; }
}
