using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Polling;

/// <summary>What a design asks to be polled. Pure.</summary>
public static class PollTargets
{
    public static FrozenDictionary<string, PollTarget> Of(DesignModel design)
    {
        var types = design.Switches.Values.SelectMany(s => s.Ports.Values).ToLookup(p => p.Ref.PseId, p => p);
        PortIntents intents = Intents(design);
        Dictionary<string, string> upstream = Upstream(design);
        return design.Agents.ToFrozenDictionary(
            agent => agent.Key,
            agent => new PollTarget(agent.Key, agent.Value, PortTypes.Of(types[agent.Key].Select(p => KeyValuePair.Create(p.Ref, p.Type)))) { Intents = intents, Upstream = upstream.GetValueOrDefault(agent.Key) },
            StringComparer.Ordinal);
    }

    /// <summary>Ids of everything that is polled.</summary>
    public static IReadOnlySet<string> Ids(DesignModel design) => design.Agents.Keys.ToFrozenSet(StringComparer.Ordinal);

    // Over the fibre, over the switch port that feeds it, or over the one that its injector stands behind.
    private static Dictionary<string, string> Upstream(DesignModel design)
    {
        var fed = (
            from run in design.CableRuns.Values
            let up = run.Source.Port?.PseId ?? design.Injectors.GetValueOrDefault(run.Source.InjectorId ?? string.Empty)?.DataSide?.PseId
            from place in run.Root.SelfAndBelow()
            where up is not null && design.PassThroughSwitches.ContainsKey(place.ElementId)
            select KeyValuePair.Create(place.ElementId, up)).ToList();
        return design.Switches.Values.Select(s => KeyValuePair.Create(s.Id, s.Uplink?.SwitchId))
            .Concat(design.Injectors.Values.Select(i => KeyValuePair.Create(i.Id, i.DataSide?.PseId)))
            .Concat(fed!)
            .Where(pair => pair.Value is not null && pair.Value != pair.Key && design.Agents.ContainsKey(pair.Key) && design.Agents.ContainsKey(pair.Value))
            .ToDictionary(pair => pair.Key, pair => pair.Value!, StringComparer.Ordinal);
    }

    private static PortIntents Intents(DesignModel design)
    {
        var named = (
            from run in design.CableRuns.Values
            where run.Source.Port is not null
            from device in run.Devices
            where device.LldpName is not null
            select (Port: run.Source.Port!.Value, Name: device.LldpName!)).ToLookup(n => n.Port, n => n.Name);
        var byName = named.SelectMany(port => port, (port, name) => (port.Key, Name: name)).ToLookup(n => n.Name, n => n.Key, StringComparer.OrdinalIgnoreCase);
        return new PortIntents(
            named.ToFrozenDictionary(port => port.Key, port => port.ToImmutableArray()),
            byName.Where(name => name.Count() == 1).ToFrozenDictionary(name => name.Key, name => name.First(), StringComparer.OrdinalIgnoreCase),
            design.Switches.Values.SelectMany(s => s.Ports.Values).Where(p => p.Vlan is not null).ToFrozenDictionary(p => p.Ref, p => p.Vlan!.Value));
    }
}
