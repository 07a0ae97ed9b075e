using System.Net;

namespace PoeWatch.Snmp.Notifications;

/// <summary>One agent that may send notifications, and what they have to be signed with. Immutable.</summary>
/// <param name="Id">Name of the agent to whoever listens.</param>
public sealed record NotificationSender(string Id, SnmpCredentials Credentials);

/// <summary>
/// Whoever listens for notifications: knows who may send them and takes what came. Called on the receive thread, one call at a time, and must
/// not block.
/// </summary>
public interface INotificationListener
{
    /// <summary>The agents behind an address; empty where it is unknown: then nothing is read and nothing answered.</summary>
    IReadOnlyList<NotificationSender> At(IPAddress address);

    /// <summary>A notification whose sender holds the credentials of the agents named in it.</summary>
    void Accept(SnmpNotification notification);

    /// <summary>A datagram that was not taken.</summary>
    void Refuse(IPAddress address, NotificationRefusal why);
}

/// <summary>A trap or inform (RFC 3416 sections 4.2.6 and 4.2.7) that was believed. Immutable.</summary>
/// <param name="Address">Where it came from.</param>
/// <param name="SenderIds">The agents that it can be of: those at the address whose credentials fit.</param>
/// <param name="Kind">snmpTrapOID.0: which notification it is.</param>
/// <param name="UpTime">sysUpTime.0 as the agent sent it.</param>
/// <param name="VarBinds">What follows the two.</param>
/// <param name="IsInform">True where it was answered.</param>
public sealed record SnmpNotification(
    IPAddress Address, IReadOnlyList<string> SenderIds, Oid Kind, TimeSpan UpTime, IReadOnlyList<VarBind> VarBinds, bool IsInform);

/// <summary>Why a datagram at the notification port was not taken.</summary>
public enum NotificationRefusal
{
    Unknown = 0,

    /// <summary>No agent is known at the address.</summary>
    UnknownSender,

    /// <summary>More came from this address, or in all, than is taken.</summary>
    TooMany,

    /// <summary>No whole SNMP message, or no notification in it.</summary>
    Malformed,

    /// <summary>Another version or another PDU than a trap or inform of v2c or v3.</summary>
    Unsupported,

    /// <summary>A community that no agent at the address has, or any community where the agents there use v3.</summary>
    WrongCommunity,

    /// <summary>A user that no agent at the address has.</summary>
    UnknownUser,

    /// <summary>Less authentication or privacy than the credentials have.</summary>
    WrongLevel,

    /// <summary>The digest does not hold.</summary>
    WrongDigest,

    /// <summary>Outside of the time window of RFC 3414: replayed, or by a clock that went back.</summary>
    OutsideTimeWindow,

    /// <summary>Authentic, but cannot be decrypted.</summary>
    DecryptionError,

    /// <summary>The same message as one before.</summary>
    Repeated,
}
