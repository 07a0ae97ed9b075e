namespace PoeWatch.Domain.Design.Validation;

/// <summary>That one agent is not polled under two names: its readings would count twice.</summary>
internal static class AgentRules
{
    public static void Check(DesignParts parts)
    {
        var owners = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase);
        foreach (var written in parts.Config.Switches)
        {
            CheckOne(parts, owners, written.Id, written.Agent.Address, agentPort: "");
        }

        foreach (var written in parts.Config.PassThroughSwitches)
        {
            CheckOne(parts, owners, written.Id, written.Agent?.Address, agentPort: "");
        }

        // Outputs of one managed injector box share an agent; each is a port of its own.
        foreach (var written in parts.Config.Injectors)
        {
            var port = written.Id is null ? null : parts.Injectors.GetValueOrDefault(written.Id.Value)?.AgentPort;
            CheckOne(parts, owners, written.Id, written.Agent?.Address, port is { } p ? FormattableString.Invariant($" port {p.Group}/{p.Port}") : "");
        }
    }

    /// <summary>That there is something to poll at all.</summary>
    public static void CheckAny(DesignParts parts)
    {
        var config = parts.Config;
        if (config.Switches.IsEmpty && config.Injectors.All(i => i.Agent is null) && config.PassThroughSwitches.All(p => p.Agent is null))
        {
            parts.Problems.Error(
                "nothing-to-poll", config.At, "", "", "The design has no switch.", "List at least one switch with its address under 'switches'.");
        }
    }

    private static void CheckOne(
        DesignParts parts, Dictionary<string, string> owners, Written<string>? id, Written<string>? address, string agentPort)
    {
        if (id is null || address is null || !parts.Agents.TryGetValue(id.Value, out var agent) || agent.Address.Length == 0)
        {
            return;
        }

        var key = FormattableString.Invariant($"{agent.Address} {agent.UdpPort}{agentPort}");
        if (!owners.TryAdd(key, id.Value) && owners[key] != id.Value)
        {
            parts.Problems.Error(
                "duplicate-address", address, id.Value, $"'{owners[key]}' has the same address{agentPort} already.",
                "Give each switch its own address, or another UDP port at the same address.");
        }
    }
}
