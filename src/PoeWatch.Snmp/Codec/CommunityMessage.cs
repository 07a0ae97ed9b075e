using System.Text;

namespace PoeWatch.Snmp.Codec;

/// <summary>The SNMPv2c message (RFC 1901 section 3): version, community, PDU.</summary>
internal static class CommunityMessage
{
    /// <summary>The version field of v2c.</summary>
    public const int Version = 1;

    /// <summary>Encodes a request at the end of the buffer and returns it.</summary>
    public static Span<byte> Encode(Span<byte> buffer, ReadOnlySpan<byte> community, int requestId, RequestBody body)
    {
        BerWriter writer = new(buffer);
        body.Write(ref writer, requestId);
        Frame(ref writer, community);
        return writer.Written;
    }

    /// <summary>Puts version and community before a PDU and closes the message. Agents frame their responses by it too.</summary>
    public static void Frame(ref BerWriter writer, ReadOnlySpan<byte> community)
    {
        writer.WriteOctets(BerTag.OctetString, community);
        writer.WriteInteger(Version);
        writer.Wrap(BerTag.Sequence, 0);
    }

    public static bool TryRead(ReadOnlySpan<byte> datagram, out ReadOnlySpan<byte> community, out PduView pdu)
    {
        community = default;
        pdu = default;
        BerReader outer = new(datagram);
        return outer.TryEnter(BerTag.Sequence, out BerReader message)
            && message.TryReadInt32(out int version)
            && version == Version
            && message.TryReadElement(BerTag.OctetString, out community)
            && PduView.TryRead(ref message, out pdu);
    }
}

/// <summary>
/// A v2c request as an agent reads it. To build an agent: <see cref="TryDecode"/> each datagram, look the OIDs up, then
/// write the answer with a <see cref="BerWriter"/> from its end: per binding the value, <see cref="BerWriter.WriteOid"/>
/// and <see cref="BerWriter.Wrap"/> as a sequence; wrap the list; error-index, error-status and request-id; wrap as
/// <see cref="PduType.Response"/>; <see cref="CommunityMessage.Frame"/>.
/// </summary>
internal sealed record RequestMessage(
    string Community, PduType Type, int RequestId, int NonRepeaters, int MaxRepetitions, IReadOnlyList<Oid> Oids)
{
    /// <summary>False for anything but a Get, GetNext or GetBulk of v2c that is whole.</summary>
    public static bool TryDecode(ReadOnlySpan<byte> datagram, out RequestMessage? request)
    {
        request = null;
        if (!CommunityMessage.TryRead(datagram, out ReadOnlySpan<byte> community, out PduView pdu)
            || !TryDecodeOids(pdu, out Oid[] oids))
        {
            return false;
        }

        bool bulk = pdu.Type == PduType.GetBulk;
        request = new RequestMessage(
            Encoding.UTF8.GetString(community),
            pdu.Type,
            pdu.RequestId,
            bulk ? Math.Max(0, pdu.ErrorStatus) : 0,
            bulk ? Math.Max(0, pdu.ErrorIndex) : 0,
            oids);
        return true;
    }

    /// <summary>The names in a request PDU; false where it is no request or not whole.</summary>
    public static bool TryDecodeOids(PduView pdu, out Oid[] oids)
    {
        oids = [];
        byte[] kept = pdu.VarBindList.ToArray();
        if (pdu.Type is not (PduType.Get or PduType.GetNext or PduType.GetBulk)
            || !VarBindReader.TryDecode(kept, 0, kept.Length, out VarBind[] varBinds))
        {
            return false;
        }

        oids = Array.ConvertAll(varBinds, varBind => varBind.Oid);
        return true;
    }
}
