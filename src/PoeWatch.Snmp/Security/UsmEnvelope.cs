using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Security;

/// <summary>
/// Closes and opens v3 messages under a session's keys: the same for both ends, so that a scripted agent can use it too.
/// </summary>
internal static class UsmEnvelope
{
    /// <summary>A buffer size that is enough for <see cref="Seal"/> around a scoped PDU of this size.</summary>
    public static int SizeBound(int scopedLength) => scopedLength + PrivacyCipher.SaltLength + UsmMessage.OverheadBound;

    /// <summary>Writes a whole message at the end of the buffer, encrypted and signed as the flags say.</summary>
    public static Span<byte> Seal(
        Span<byte> buffer, UsmSession session, int messageId, int maxMessageSize, MessageFlags flags,
        (int Boots, int Time) clock, ReadOnlySpan<byte> scopedPdu)
    {
        UsmCredentials credentials = session.Credentials;
        BerWriter writer = new(buffer);
        Span<byte> salt = stackalloc byte[PrivacyCipher.SaltLength];
        if (flags.HasFlag(MessageFlags.Encrypted))
        {
            PrivacyCipher.WriteSalt(credentials.Privacy, clock.Boots, session.NextSalt(), salt);
            int length = PrivacyCipher.EncryptedLength(credentials.Privacy, scopedPdu.Length);
            session.Cipher.Encrypt(clock.Boots, clock.Time, salt, scopedPdu, writer.WriteRoom(length));
            writer.Wrap(BerTag.OctetString, 0);
        }
        else
        {
            salt = [];
            writer.WriteRaw(scopedPdu);
        }

        bool signed = flags.HasFlag(MessageFlags.Authenticated);
        UsmHeader header = new()
        {
            MessageId = messageId,
            MaxMessageSize = maxMessageSize,
            Flags = flags,
            EngineId = session.EngineId,
            EngineBoots = clock.Boots,
            EngineTime = clock.Time,
            UserName = credentials.UserNameBytes,
            Salt = salt,
        };
        UsmMessage.Frame(ref writer, header, signed ? AuthAlgorithm.DigestLength(credentials.Auth) : 0, out int digestFromEnd);
        Span<byte> message = writer.Written;
        if (signed)
        {
            AuthAlgorithm.Sign(credentials.Auth, session.AuthKey, message, message.Length - digestFromEnd);
        }

        return message;
    }

    /// <summary>Checks engine, user and digest. Zeroes the digest in the datagram, so it can be asked once.</summary>
    public static bool IsAuthentic(Span<byte> datagram, in UsmMessage message, UsmSession session) =>
        session.Credentials.Auth != AuthProtocol.None
        && message.EngineId.SequenceEqual(session.EngineId)
        && message.UserName.SequenceEqual(session.Credentials.UserNameBytes)
        && ((ReadOnlySpan<byte>)datagram).Overlaps(message.Digest, out int digestOffset)
        && AuthAlgorithm.Verify(
            session.Credentials.Auth, session.AuthKey, datagram[..message.Whole.Length], digestOffset, message.Digest.Length);

    /// <summary>Decrypts in place, where needed, and reads the scoped PDU, which refers to the datagram. Can be asked once.</summary>
    public static bool TryOpen(Span<byte> datagram, scoped in UsmMessage message, UsmSession session, out PduView pdu)
    {
        pdu = default;
        if (!message.Flags.HasFlag(MessageFlags.Encrypted))
        {
            return ScopedPdu.TryRead(message.ScopedData, out pdu);
        }

        return !message.ScopedData.IsEmpty
            && ((ReadOnlySpan<byte>)datagram).Overlaps(message.ScopedData, out int offset)
            && session.Cipher.TryDecrypt(
                message.EngineBoots, message.EngineTime, message.Salt, datagram.Slice(offset, message.ScopedData.Length))
            && ScopedPdu.TryRead(message.ScopedData, out pdu);
    }
}

/// <summary>The scoped PDU (RFC 3412 section 6.8): context engine id, context name, PDU.</summary>
internal static class ScopedPdu
{
    /// <summary>What the scope adds to a PDU at most.</summary>
    public const int OverheadBound = 96;

    /// <summary>Puts the scope before a PDU that is written already.</summary>
    public static void Frame(ref BerWriter writer, ReadOnlySpan<byte> contextEngineId, ReadOnlySpan<byte> contextName)
    {
        writer.WriteOctets(BerTag.OctetString, contextName);
        writer.WriteOctets(BerTag.OctetString, contextEngineId);
        writer.Wrap(BerTag.Sequence, 0);
    }

    public static bool TryRead(ReadOnlySpan<byte> data, out PduView pdu)
    {
        pdu = default;
        BerReader outer = new(data);
        return outer.TryEnter(BerTag.Sequence, out BerReader scope)
            && scope.TryReadElement(BerTag.OctetString, out _)
            && scope.TryReadElement(BerTag.OctetString, out _)
            && PduView.TryRead(ref scope, out pdu);
    }
}
