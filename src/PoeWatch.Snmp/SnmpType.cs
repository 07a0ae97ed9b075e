namespace PoeWatch.Snmp;

/// <summary>The kinds of value a variable can have (RFC 2578 section 7.1, RFC 3416 section 3).</summary>
public enum SnmpType
{
    /// <summary>No value: what <c>default</c> is and what a request carries.</summary>
    Null = 0,

    /// <summary>A signed number. Agents that send more than 32 bits are believed up to 64.</summary>
    Integer32,
    OctetString,
    ObjectIdentifier,

    /// <summary>An IPv4 address: four octets.</summary>
    IpAddress,
    Counter32,
    Gauge32,

    /// <summary>Hundredths of a second.</summary>
    TimeTicks,

    /// <summary>Octets whose meaning is the agent's own.</summary>
    Opaque,
    Counter64,

    /// <summary>The agent has no such object.</summary>
    NoSuchObject,

    /// <summary>The agent has the object but not this instance.</summary>
    NoSuchInstance,

    /// <summary>A walk has passed the last object.</summary>
    EndOfMibView,

    /// <summary>A value of an unknown type or with impossible content; the rest of the answer is good.</summary>
    Undecodable,
}
