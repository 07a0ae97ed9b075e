namespace PoeWatch.Snmp;

/// <summary>How a request ended. Each failure is a cause of its own, because each has a remedy of its own.</summary>
public enum SnmpOutcome
{
    /// <summary>Not set: never comes out of the client.</summary>
    Unknown = 0,

    /// <summary>The agent answered; single values may still be absent.</summary>
    Answered,

    /// <summary>Silence over all attempts: agent down or unreachable, or in v2c the community unknown to it.</summary>
    Timeout,

    /// <summary>Silence, and the network said why: no route, or nobody listens on that port.</summary>
    Unreachable,

    /// <summary>The agent answered with an error-status; see <see cref="SnmpResult.ErrorStatus"/>.</summary>
    AgentError,

    /// <summary>The agent knows who asks and refuses the view (authorizationError).</summary>
    AuthorizationError,

    /// <summary>Something came back to this request, but on no attempt a whole message.</summary>
    Malformed,

    /// <summary>Answers came that cannot be believed: digest, security level or time did not hold. Forged, or a broken agent.</summary>
    Untrusted,

    /// <summary>The agent does not know the v3 user.</summary>
    UnknownUser,

    /// <summary>The authentication passphrase or protocol is wrong.</summary>
    WrongDigest,

    /// <summary>The agent has the user at another security level.</summary>
    UnsupportedSecurityLevel,

    /// <summary>The agent could not decrypt: privacy passphrase or protocol wrong.</summary>
    DecryptionError,

    /// <summary>The agent's clock contradicts what it said before, also after resynchronising.</summary>
    NotInTimeWindow,

    /// <summary>The agent denies its own engine id, also after a new discovery.</summary>
    UnknownEngine,

    /// <summary>The agent has no such v3 context.</summary>
    UnknownContext,

    /// <summary>A report with a cause this client does not know.</summary>
    OtherReport,

    /// <summary>Inferred: the agent answers without privacy and is silent with it. Privacy passphrase or protocol probably wrong.</summary>
    PrivacySuspected,

    /// <summary>Not sent: as many requests as allowed are waiting already.</summary>
    TooManyPending,

    /// <summary>Not sent: this machine cannot send to that address family.</summary>
    NoSocket,

    /// <summary>The caller gave up.</summary>
    Cancelled,

    /// <summary>The client was closed.</summary>
    Closed,

    /// <summary>A fault of this client itself; <see cref="SnmpStatistics"/> counts them.</summary>
    ClientFault,
}
