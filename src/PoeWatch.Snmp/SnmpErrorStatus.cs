namespace PoeWatch.Snmp;

/// <summary>error-status of a response (RFC 3416 section 3), as far as a reader can meet it. Other numbers pass through.</summary>
public enum SnmpErrorStatus
{
    NoError = 0,
    TooBig = 1,

    /// <summary>SNMPv1 word, seen from proxies.</summary>
    NoSuchName = 2,

    /// <summary>SNMPv1 word, seen from proxies.</summary>
    BadValue = 3,
    GenErr = 5,
    NoAccess = 6,
    ResourceUnavailable = 13,
    AuthorizationError = 16,
}
