namespace PoeWatch.Snmp.Codec;

/// <summary>
/// As much of a datagram as tells which request it answers: version and id (request-id in v2c, msgID in v3). Readable
/// also from a datagram that was cut off on its way, so that its sender's fault can be told from silence, and from a request
/// of ours that an ICMP error brings back.
/// </summary>
internal readonly record struct MessageHead(int Version, int Id)
{
    public static bool TryRead(ReadOnlySpan<byte> datagram, out MessageHead head)
    {
        head = default;
        BerReader outer = new(datagram);
        if (!outer.TryEnterCutOff(BerTag.Sequence, out BerReader message, out _) || !message.TryReadInt32(out int version))
        {
            return false;
        }

        bool found = false;
        int id = 0;
        if (version == CommunityMessage.Version && message.TryReadElement(BerTag.OctetString, out _))
        {
            found = message.TryEnterCutOff(message.PeekTag(), out BerReader pdu, out _) && pdu.TryReadInt32(out id);
        }
        else if (version == UsmMessage.Version)
        {
            found = message.TryEnterCutOff(BerTag.Sequence, out BerReader global, out _) && global.TryReadInt32(out id);
        }

        head = new MessageHead(version, id);
        return found;
    }
}
