using System.Collections.Immutable;
using System.Net;

namespace PoeWatch.Snmp;

/// <summary>
/// What one request came to. Immutable. <see cref="VarBinds"/> is empty unless <see cref="IsAnswered"/>, except that an
/// agent error keeps what the agent sent with it.
/// </summary>
public sealed record SnmpResult
{
    public required SnmpOutcome Outcome { get; init; }

    /// <summary>Whom was asked.</summary>
    public required SnmpTarget Target { get; init; }

    public ImmutableArray<VarBind> VarBinds { get; init; } = [];

    public SnmpErrorStatus ErrorStatus { get; init; }

    /// <summary>Which variable the error is about, counted from 1; 0 is none of them.</summary>
    public int ErrorIndex { get; init; }

    /// <summary>From the last sending to the answer; zero where none came.</summary>
    public TimeSpan RoundTrip { get; init; }

    /// <summary>How many datagrams were sent, retries included.</summary>
    public int Attempts { get; init; }

    /// <summary>Who answered, null where nobody did. Equal to the target's endpoint unless any responder is accepted.</summary>
    public IPEndPoint? Responder { get; init; }

    public bool IsAnswered => Outcome == SnmpOutcome.Answered;

    /// <summary>One sentence for a log or a screen: who, what, and what to look at. Holds no secret.</summary>
    public string Summary => $"{Target}: {Outcome switch
    {
        SnmpOutcome.Answered => $"answered {VarBinds.Length} values",
        SnmpOutcome.Timeout when Target.Credentials is CommunityCredentials =>
            $"silent over {Attempts} attempts; agent down, filtered, or the community unknown to it",
        SnmpOutcome.Timeout => $"silent over {Attempts} attempts; agent down, filtered, or v3 not enabled",
        SnmpOutcome.Unreachable => "unreachable; no route, or no agent on that port",
        SnmpOutcome.AgentError => $"agent error {ErrorStatus} at variable {ErrorIndex}",
        SnmpOutcome.AuthorizationError => "agent refuses; give the user or community a view of what is asked",
        SnmpOutcome.Malformed => "answers damaged or cut off; look for a faulty agent or a path that drops fragments",
        SnmpOutcome.Untrusted => "answers failed authentication; forged, or a broken agent",
        SnmpOutcome.UnknownUser => "user unknown to the agent; create it there or correct the name",
        SnmpOutcome.WrongDigest => "authentication passphrase or protocol wrong",
        SnmpOutcome.UnsupportedSecurityLevel => "agent has this user at another security level",
        SnmpOutcome.DecryptionError => "agent cannot decrypt; privacy passphrase or protocol wrong",
        SnmpOutcome.NotInTimeWindow => "agent's engine clock contradicts itself; check its boot counter",
        SnmpOutcome.UnknownEngine => "agent denies its own engine id",
        SnmpOutcome.UnknownContext => "agent has no such context",
        SnmpOutcome.OtherReport => "agent reports an unknown security fault",
        SnmpOutcome.PrivacySuspected => "privacy key or algorithm probably wrong: it answers without privacy and is silent with it",
        SnmpOutcome.TooManyPending => "not sent; too many requests are waiting",
        SnmpOutcome.NoSocket => $"not sent; this machine cannot send to {Target.Endpoint.AddressFamily}",
        SnmpOutcome.Cancelled => "cancelled",
        SnmpOutcome.ClientFault => "given up over a fault of the service itself; see its log and report it",
        SnmpOutcome.Closed => "client closed",
        _ => "unknown",
    }}";

    public override string ToString() => Summary;
}
