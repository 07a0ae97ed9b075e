using System.Collections.Frozen;
using System.Collections.Immutable;
using System.Net;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Monitoring.Notifications;

/// <summary>The agents of one design by the addresses that they are polled at or may answer from. Immutable.</summary>
internal sealed class SenderBook
{
    private readonly FrozenDictionary<IPAddress, ImmutableArray<(string PseId, string Credentials)>> _agents;

    /// <param name="targets">What the design polls.</param>
    /// <param name="resolved">Addresses of those that the design calls by a DNS name.</param>
    public SenderBook(IReadOnlyDictionary<string, PollTarget> targets, IReadOnlyDictionary<string, IPAddress> resolved)
    {
        Targets = targets;
        _agents = (
            from target in targets.Values
            let asked = IPAddress.TryParse(target.Agent.Address, out IPAddress? written) ? written : resolved.GetValueOrDefault(target.Agent.Address)
            from address in (asked is null ? target.Agent.AnswersFrom : target.Agent.AnswersFrom.Add(asked)).Distinct()
            group (target.PseId, target.Agent.Credentials) by address)
            .ToFrozenDictionary(g => g.Key, g => g.ToImmutableArray());
    }

    public static SenderBook Empty { get; } = new(FrozenDictionary<string, PollTarget>.Empty, FrozenDictionary<string, IPAddress>.Empty);

    /// <summary>What it was made of.</summary>
    public IReadOnlyDictionary<string, PollTarget> Targets { get; }

    /// <summary>The agents behind an address whose credentials can be found now.</summary>
    public IReadOnlyList<NotificationSender> At(IPAddress address, ICredentialSource credentials)
    {
        if (!_agents.TryGetValue(address, out var agents))
        {
            return [];
        }

        var senders = new List<NotificationSender>(agents.Length);
        foreach (var (pseId, name) in agents)
        {
            if (credentials.Find(name, out _) is { } secret)
            {
                senders.Add(new NotificationSender(pseId, secret));
            }
        }

        return senders;
    }
}
