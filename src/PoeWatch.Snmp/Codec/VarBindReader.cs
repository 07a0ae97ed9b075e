namespace PoeWatch.Snmp.Codec;

/// <summary>
/// Decodes a variable-bindings list out of bytes that the result may keep: names, texts and OIDs refer to them, so that a
/// list of any length costs one array beside the bytes.
/// </summary>
internal static class VarBindReader
{
    /// <summary>More than any agent fits into a datagram it would really send; a bound on work, not on devices.</summary>
    public const int MaxVarBinds = 4096;

    /// <summary>Decodes the content of the list. False where an element is not framed as a binding, or there are too many.</summary>
    public static bool TryDecode(byte[] kept, int offset, int length, out VarBind[] varBinds)
    {
        varBinds = [];
        ReadOnlySpan<byte> list = kept.AsSpan(offset, length);
        if (!TryCount(list, out int count))
        {
            return false;
        }

        VarBind[] decoded = count == 0 ? [] : new VarBind[count];
        BerReader reader = new(list);
        for (int i = 0; i < count; i++)
        {
            if (!reader.TryEnter(BerTag.Sequence, out BerReader binding)
                || !binding.TryReadElement(BerTag.ObjectIdentifier, out ReadOnlySpan<byte> name)
                || !OidEncoding.IsValid(name)
                || !binding.TryReadElement(out byte tag, out ReadOnlySpan<byte> content))
            {
                return false;
            }

            decoded[i] = new VarBind(new Oid(kept, OffsetIn(kept, name), name.Length), DecodeValue(kept, tag, content));
        }

        varBinds = decoded;
        return true;
    }

    private static bool TryCount(ReadOnlySpan<byte> list, out int count)
    {
        count = 0;
        BerReader reader = new(list);
        while (!reader.AtEnd)
        {
            if (!reader.TryReadElement(out _, out _) || ++count > MaxVarBinds)
            {
                return false;
            }
        }

        return true;
    }

    private static SnmpValue DecodeValue(byte[] kept, byte tag, ReadOnlySpan<byte> content)
    {
        switch (tag)
        {
            case BerTag.Integer when BerReader.TryDecodeSigned(content, out long number):
                return new SnmpValue(SnmpType.Integer32, number);
            case BerTag.Counter32 when BerReader.TryDecodeUnsigned(content, 4, out ulong number):
                return new SnmpValue(SnmpType.Counter32, (long)number);
            case BerTag.Gauge32 or BerTag.Unsigned32Obsolete when BerReader.TryDecodeUnsigned(content, 4, out ulong number):
                return new SnmpValue(SnmpType.Gauge32, (long)number);
            case BerTag.TimeTicks when BerReader.TryDecodeUnsigned(content, 4, out ulong number):
                return new SnmpValue(SnmpType.TimeTicks, (long)number);
            case BerTag.Counter64 when BerReader.TryDecodeUnsigned(content, 8, out ulong number):
                return SnmpValue.Counter64(number);
            case BerTag.OctetString:
                return Octets(SnmpType.OctetString, kept, content);
            case BerTag.ObjectIdentifier when OidEncoding.IsValid(content):
                return Octets(SnmpType.ObjectIdentifier, kept, content);
            case BerTag.IpAddress when content.Length == 4:
                return Octets(SnmpType.IpAddress, kept, content);
            case BerTag.Opaque:
                return Octets(SnmpType.Opaque, kept, content);
            case BerTag.Null:
                return SnmpValue.Null;
            case BerTag.NoSuchObject:
                return SnmpValue.NoSuchObject;
            case BerTag.NoSuchInstance:
                return SnmpValue.NoSuchInstance;
            case BerTag.EndOfMibView:
                return SnmpValue.EndOfMibView;
            default:
                return Octets(SnmpType.Undecodable, kept, content);
        }
    }

    private static SnmpValue Octets(SnmpType type, byte[] kept, ReadOnlySpan<byte> content) =>
        new(type, kept, OffsetIn(kept, content), content.Length);

    private static int OffsetIn(byte[] kept, ReadOnlySpan<byte> part) =>
        !part.IsEmpty && kept.AsSpan().Overlaps(part, out int offset) ? offset : 0;
}
