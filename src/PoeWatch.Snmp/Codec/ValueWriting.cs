namespace PoeWatch.Snmp.Codec;

/// <summary>Writes values as an Inform carries them (RFC 3416 section 3, RFC 2578 section 7.1).</summary>
internal static class ValueWriting
{
    public static void WriteValue(this ref BerWriter writer, SnmpValue value)
    {
        switch (value.Type)
        {
            case SnmpType.Integer32:
                writer.WriteInteger(value.RawNumber);
                break;
            case SnmpType.Counter32:
                writer.WriteUnsigned(BerTag.Counter32, value.UnsignedBits);
                break;
            case SnmpType.Gauge32:
                writer.WriteUnsigned(BerTag.Gauge32, value.UnsignedBits);
                break;
            case SnmpType.TimeTicks:
                writer.WriteUnsigned(BerTag.TimeTicks, value.UnsignedBits);
                break;
            case SnmpType.Counter64:
                writer.WriteUnsigned(BerTag.Counter64, value.UnsignedBits);
                break;
            case SnmpType.OctetString:
                writer.WriteOctets(BerTag.OctetString, value.Bytes);
                break;
            case SnmpType.ObjectIdentifier:
                writer.WriteOctets(BerTag.ObjectIdentifier, value.Bytes);
                break;
            case SnmpType.IpAddress:
                writer.WriteOctets(BerTag.IpAddress, value.Bytes);
                break;
            default:
                throw new ArgumentException($"A {value.Type} is not for sending.", nameof(value));
        }
    }
}
