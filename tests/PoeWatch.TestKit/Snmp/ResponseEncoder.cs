using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.TestKit.Snmp;

/// <summary>Writes responses for scripted agents. Kept apart from the simulator's encoder on purpose: two writers, one reader.</summary>
internal static class ResponseEncoder
{
    public static byte[] Encode(string community, int requestId, int status, int index, IReadOnlyList<VarBind> varBinds)
    {
        BerWriter writer = new(new byte[65_507]);
        WritePdu(ref writer, PduType.Response, requestId, status, index, varBinds);
        CommunityMessage.Frame(ref writer, System.Text.Encoding.UTF8.GetBytes(community));
        return writer.Written.ToArray();
    }

    public static void WritePdu(
        ref BerWriter writer, PduType type, int requestId, int status, int index, IReadOnlyList<VarBind> varBinds)
    {
        int before = writer.Length;
        for (int i = varBinds.Count - 1; i >= 0; i--)
        {
            int beforeBinding = writer.Length;
            WriteValue(ref writer, varBinds[i].Value);
            writer.WriteOid(varBinds[i].Oid);
            writer.Wrap(BerTag.Sequence, beforeBinding);
        }

        writer.Wrap(BerTag.Sequence, before);
        writer.WriteInteger(index);
        writer.WriteInteger(status);
        writer.WriteInteger(requestId);
        writer.Wrap((byte)type, before);
    }

    private static void WriteValue(ref BerWriter writer, SnmpValue value)
    {
        value.TryGetInt64(out long number);
        value.TryGetUInt64(out ulong unsigned);
        value.TryGetOctets(out ReadOnlySpan<byte> octets);
        value.TryGetOid(out Oid oid);
        switch (value.Type)
        {
            case SnmpType.Integer32: writer.WriteInteger(number); break;
            case SnmpType.OctetString: writer.WriteOctets(BerTag.OctetString, octets); break;
            case SnmpType.ObjectIdentifier: writer.WriteOid(oid); break;
            case SnmpType.IpAddress: writer.WriteOctets(BerTag.IpAddress, octets); break;
            case SnmpType.Counter32: writer.WriteUnsigned(BerTag.Counter32, unsigned); break;
            case SnmpType.Gauge32: writer.WriteUnsigned(BerTag.Gauge32, unsigned); break;
            case SnmpType.TimeTicks: writer.WriteUnsigned(BerTag.TimeTicks, unsigned); break;
            case SnmpType.Opaque: writer.WriteOctets(BerTag.Opaque, octets); break;
            case SnmpType.Counter64: writer.WriteUnsigned(BerTag.Counter64, unsigned); break;
            case SnmpType.NoSuchObject: writer.WriteNull(BerTag.NoSuchObject); break;
            case SnmpType.NoSuchInstance: writer.WriteNull(BerTag.NoSuchInstance); break;
            case SnmpType.EndOfMibView: writer.WriteNull(BerTag.EndOfMibView); break;
            default: writer.WriteNull(); break;
        }
    }
}
