using System.Collections.Immutable;
using System.Net;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.Changes;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>What is remembered of one agent between its polls. Used by one poll at a time.</summary>
internal sealed class AgentSession(SnmpAgent agent)
{
    private SnmpTarget? _target;

    public SnmpAgent Agent { get; } = agent;

    /// <summary>What the agent takes per request.</summary>
    public WalkState Walk { get; } = new();

    /// <summary>The address where the design gives one and no name.</summary>
    public IPAddress? Written { get; } = IPAddress.TryParse(agent.Address, out IPAddress? written) ? written : null;

    /// <summary>Address the design's name was last resolved to.</summary>
    public IPAddress? Resolved { get; set; }

    /// <summary>Where it was last asked.</summary>
    public IPEndPoint? Endpoint => _target?.Endpoint;

    public string ResolvedFrom { get; set; } = string.Empty;

    public long ResolvedAt { get; set; }

    public int Silences { get; set; }

    /// <summary>What a diagnosis of the present silence found; empty where none was made or it found nothing.</summary>
    public string Diagnosis { get; set; } = string.Empty;

    /// <summary>The last survey since the agent started; its columns stay, its walk is gone.</summary>
    public SurveyAnswer? Survey { get; set; }

    /// <summary>When the last survey was tried.</summary>
    public long SurveyedAt { get; set; }

    public bool HasTriedSurvey { get; set; }

    /// <summary>The agent's own times of the last change of neighbours and interfaces, as they were at the last survey.</summary>
    public (long Neighbours, long Interfaces) ChangedAt { get; set; }

    /// <summary>What is known of its watts.</summary>
    public AgentDraws Draws { get; private set; } = new(agent.DrawColumn);

    /// <summary>The request of each poll, as long as the plan of its columns stands.</summary>
    public (DrawPlan Plan, WalkRequest Request)? Request { get; set; }

    /// <summary>What the last survey found that the design has otherwise.</summary>
    public ImmutableArray<ReadingFinding> Odd { get; set; } = [];

    /// <summary>Priorities configured in the PSE, as they were when the names were read; people change them rarely.</summary>
    public Dictionary<PsePortRef, Criticality> Priorities { get; set; } = [];

    /// <summary>What tells whether the same life of the same switch still answers.</summary>
    public ChangeWatch Changes { get; } = new();

    /// <summary>Fault counters of its ports.</summary>
    public PortCounterWatch Counters { get; } = new();

    /// <summary>Whom to ask: the same object as long as address, secret and patience stay.</summary>
    public SnmpTarget Target(IPAddress address, SnmpCredentials secret, PollingOptions options)
    {
        if (_target is not { } known || !known.Endpoint.Address.Equals(address) || !known.Credentials.Equals(secret)
            || known.Timeout != options.Timeout || known.Retries != options.Retries)
        {
            _target = new SnmpTarget(new IPEndPoint(address, Agent.UdpPort), secret, options.Timeout, options.Retries, alsoAnswersFrom: Agent.AnswersFrom);
        }

        return _target;
    }

    /// <summary>After a change: rates begin anew and what the agent offers is asked again; of another switch nothing is known at all.</summary>
    public void Restart(bool isReplaced)
    {
        Survey = null;
        Counters.Forget();
        Draws.ForgetRates();
        if (isReplaced)
        {
            (Draws, Request, Priorities, Odd) = (new AgentDraws(Agent.DrawColumn), null, [], []);
        }
    }
}
