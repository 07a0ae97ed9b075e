using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>Says in words what a failed request means and what to look at. Pure.</summary>
public static class PollFailure
{
    /// <summary>Outcome and sentence for a request that failed for good.</summary>
    public static (PollOutcome Outcome, string Detail) Explain(PollTarget target, SnmpOutcome outcome, bool isCommunity, string summary)
    {
        var at = FormattableString.Invariant($"{target.Agent.Address}, UDP port {target.Agent.UdpPort}");
        var credentials = target.Agent.Credentials;
        return outcome switch
        {
            SnmpOutcome.Timeout when isCommunity => (PollOutcome.Silent,
                $"No answer from {at}. Is it powered and reachable, does it allow this address, and is the community in '{credentials}' right? An agent that does not know a community stays silent."),
            SnmpOutcome.Timeout => (PollOutcome.Silent,
                $"No answer from {at}. Is it powered and reachable, and does it allow this address?"),
            SnmpOutcome.Unreachable => (PollOutcome.Silent,
                $"The network says that {at} cannot be reached, or that nobody listens there. Check address, port and route."),
            SnmpOutcome.UnknownUser => (PollOutcome.Refused,
                $"The agent at {at} does not know the SNMPv3 user of '{credentials}'. Check the user name on both sides."),
            SnmpOutcome.WrongDigest => (PollOutcome.Refused,
                $"The agent at {at} rejects the authentication of '{credentials}'. Check the authentication passphrase and protocol."),
            SnmpOutcome.UnsupportedSecurityLevel => (PollOutcome.Refused,
                $"The agent at {at} has the user of '{credentials}' at another security level. Set the same level (none, authentication, privacy) on both sides."),
            SnmpOutcome.DecryptionError or SnmpOutcome.PrivacySuspected => (PollOutcome.Refused,
                $"The agent at {at} answers without privacy but not with it: the privacy passphrase or protocol of '{credentials}' is probably wrong."),
            SnmpOutcome.AuthorizationError => (PollOutcome.Refused,
                $"The agent at {at} refuses '{credentials}' access to these objects. Give it a read view of 1.3.6.1.2.1."),
            SnmpOutcome.NotInTimeWindow or SnmpOutcome.UnknownEngine => (PollOutcome.Refused,
                $"The agent at {at} contradicts its own engine id or time, also after asking anew. Two devices with one engine id, or a broken agent?"),
            SnmpOutcome.UnknownContext => (PollOutcome.Refused, $"The agent at {at} has no context of the name in '{credentials}'."),
            SnmpOutcome.Malformed or SnmpOutcome.Untrusted => (PollOutcome.Malformed,
                $"Answers from {at} cannot be read or believed: {summary}"),
            _ => (PollOutcome.Unknown, summary),
        };
    }
}
