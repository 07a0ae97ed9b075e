namespace PoeWatch.Snmp.Codec;

/// <summary>Identifier octets that SNMP uses (RFC 2578 appendix of types, RFC 3416 section 3). All fit one byte.</summary>
internal static class BerTag
{
    public const byte Integer = 0x02;
    public const byte OctetString = 0x04;
    public const byte Null = 0x05;
    public const byte ObjectIdentifier = 0x06;
    public const byte Sequence = 0x30;
    public const byte IpAddress = 0x40;
    public const byte Counter32 = 0x41;
    public const byte Gauge32 = 0x42;
    public const byte TimeTicks = 0x43;
    public const byte Opaque = 0x44;
    public const byte Counter64 = 0x46;

    /// <summary>UInteger32 of RFC 1442: obsolete, still sent by old agents; read as Gauge32.</summary>
    public const byte Unsigned32Obsolete = 0x47;

    public const byte NoSuchObject = 0x80;
    public const byte NoSuchInstance = 0x81;
    public const byte EndOfMibView = 0x82;
}

/// <summary>
/// The PDUs this room knows, by identifier octet (RFC 3416 section 3). The one that changes an agent is not among them:
/// nothing here can encode it, and an agent built on this codec refuses it as unknown.
/// </summary>
internal enum PduType : byte
{
    Unknown = 0,
    Get = 0xA0,
    GetNext = 0xA1,
    Response = 0xA2,
    GetBulk = 0xA5,
    Inform = 0xA6,
    Trap = 0xA7,
    Report = 0xA8,
}
