using System.Collections.Frozen;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Polling;

/// <summary>What a design asks to be polled. Pure.</summary>
public static class PollTargets
{
    public static FrozenDictionary<string, PollTarget> Of(DesignModel design)
    {
        var types = design.Switches.Values.SelectMany(s => s.Ports.Values).ToLookup(p => p.Ref.PseId, p => p);
        return design.Agents.ToFrozenDictionary(
            agent => agent.Key,
            agent => new PollTarget(agent.Key, agent.Value, types[agent.Key].ToFrozenDictionary(p => p.Ref, p => p.Type)),
            StringComparer.Ordinal);
    }

    /// <summary>Ids of everything that is polled.</summary>
    public static IReadOnlySet<string> Ids(DesignModel design) => design.Agents.Keys.ToFrozenSet(StringComparer.Ordinal);
}
