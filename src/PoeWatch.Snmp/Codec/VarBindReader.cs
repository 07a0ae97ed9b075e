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
        SnmpType type = TypeOf(tag, content, out long number, out bool isOctets);
        return isOctets ? new SnmpValue(type, kept, OffsetIn(kept, content), content.Length) : new SnmpValue(type, number);
    }

    /// <summary>What kind of value an element is, and its number, unless its octets are the value.</summary>
    public static SnmpType TypeOf(byte tag, ReadOnlySpan<byte> content, out long number, out bool isOctets)
    {
        isOctets = false;
        ulong unsigned;
        number = 0;
        switch (tag)
        {
            case BerTag.Integer when BerReader.TryDecodeSigned(content, out number):
                return SnmpType.Integer32;
            case BerTag.Counter32 when BerReader.TryDecodeUnsigned(content, 4, out unsigned):
                number = (long)unsigned;
                return SnmpType.Counter32;
            case BerTag.Gauge32 or BerTag.Unsigned32Obsolete when BerReader.TryDecodeUnsigned(content, 4, out unsigned):
                number = (long)unsigned;
                return SnmpType.Gauge32;
            case BerTag.TimeTicks when BerReader.TryDecodeUnsigned(content, 4, out unsigned):
                number = (long)unsigned;
                return SnmpType.TimeTicks;
            case BerTag.Counter64 when BerReader.TryDecodeUnsigned(content, 8, out unsigned):
                number = unchecked((long)unsigned);
                return SnmpType.Counter64;
            case BerTag.Null:
                return SnmpType.Null;
            case BerTag.NoSuchObject:
                return SnmpType.NoSuchObject;
            case BerTag.NoSuchInstance:
                return SnmpType.NoSuchInstance;
            case BerTag.EndOfMibView:
                return SnmpType.EndOfMibView;
            default:
                isOctets = true;
                return OctetsType(tag, content);
        }
    }

    private static SnmpType OctetsType(byte tag, ReadOnlySpan<byte> content) => tag switch
    {
        BerTag.OctetString => SnmpType.OctetString,
        BerTag.ObjectIdentifier when OidEncoding.IsValid(content) => SnmpType.ObjectIdentifier,
        BerTag.IpAddress when content.Length == 4 => SnmpType.IpAddress,
        BerTag.Opaque => SnmpType.Opaque,
        _ => SnmpType.Undecodable,
    };

    private static int OffsetIn(byte[] kept, ReadOnlySpan<byte> part) =>
        !part.IsEmpty && kept.AsSpan().Overlaps(part, out int offset) ? offset : 0;
}
