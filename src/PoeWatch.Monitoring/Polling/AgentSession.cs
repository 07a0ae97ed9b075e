using System.Collections.Immutable;
using System.Net;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>What is remembered of one agent between its polls. Used by one poll at a time.</summary>
internal sealed class AgentSession(SnmpAgent agent)
{
    public SnmpAgent Agent { get; } = agent;

    /// <summary>What the agent takes per request.</summary>
    public WalkState Walk { get; } = new();

    /// <summary>Address the design's name was last resolved to.</summary>
    public IPAddress? Resolved { get; set; }

    public string ResolvedFrom { get; set; } = string.Empty;

    public long ResolvedAt { get; set; }

    public int Silences { get; set; }

    /// <summary>What a diagnosis of the present silence found; empty where none was made or it found nothing.</summary>
    public string Diagnosis { get; set; } = string.Empty;

    public long NamesReadAt { get; set; }

    public bool HasNames { get; set; }

    public ImmutableDictionary<PsePortRef, int> Interfaces { get; set; } = ImmutableDictionary<PsePortRef, int>.Empty;

    /// <summary>Priorities configured in the PSE, as they were when the names were read; people change them rarely.</summary>
    public Dictionary<PsePortRef, Criticality> Priorities { get; set; } = [];

    public TimeSpan? UpTime { get; set; }
}
