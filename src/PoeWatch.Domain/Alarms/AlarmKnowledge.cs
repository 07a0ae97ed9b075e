using PoeWatch.Domain.Alarms.Rules;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms;

/// <summary>Of which keys an assessment knows anything.</summary>
internal static class AlarmKnowledge
{
    public static bool IsKnown(AlarmKey key, RuleInput input)
    {
        var (design, site) = (input.Design, input.Site);
        if (MemoryKnowledge.IsKnown(key, input) is { } isRemembered)
        {
            return isRemembered;
        }

        if (key.Type is AlarmTypes.DesignUpgradeDue or AlarmTypes.HeadroomLowByDesign)
        {
            return IsDesignKnown(key, site);
        }

        if (FindingRule.IsKnown(key, site) is { } isTold)
        {
            return isTold;
        }

        if (Rest(key, AlarmResources.SwitchPrefix) is { } agent)
        {
            return !site.Agents.TryGetValue(agent, out var found) || found is { Outcome: not PollOutcome.Unknown, SilentBecauseOf: null };
        }

        if (Rest(key, AlarmResources.UpsPrefix) is { } ups)
        {
            return design.UpsUnits.GetValueOrDefault(ups)?.Agent is null || UpsOnBatteryRule.IsKnown(ups, site);
        }

        if (Rest(key, AlarmResources.PortPrefix) is { } port && PsePortRef.TryParse(port, out var at))
        {
            return IsPortKnown(key.Type, at, design, site);
        }

        if (Rest(key, AlarmResources.RunPrefix) is { } runId)
        {
            return !site.CableRuns.TryGetValue(runId, out var run) || run.IsUnmetered
                || IsDrawKnown(run.DrawAtPse, ceilingProves: run.DrawAtPse.Watts <= run.DesignDemandNow);
        }

        if (site.Groups.FirstOrDefault(g => AlarmResources.Group(g.PseId, g.Group) == key.Resource) is not { } group)
        {
            return true;
        }

        return key.Type switch
        {
            AlarmTypes.PriorityDiffers => group.Account is not { Shedding.IsPriorityKnown: false },
            AlarmTypes.SupplyHeadroomLow => IsDrawKnown(
                group.Draw,
                group.Account?.Limits?.Supplies is { } binding
                    && HeadroomAtSupplyRule.Left(binding) >= design.Headroom.AtSupply.Early.For(Power.FromWatts(binding.LimitValue))),
            _ => IsDrawKnown(group.Draw, ceilingProves: group.DrawHeadroom >= design.Headroom.AtGroup.Early.For(group.Budget)),
        };
    }

    /// <summary>By design the run is always known; but which rule speaks of it depends on whether it is measured, so silence changes nothing.</summary>
    private static bool IsDesignKnown(AlarmKey key, SiteAssessment site) =>
        Rest(key, AlarmResources.RunPrefix) is not { } runId
        || !site.CableRuns.TryGetValue(runId, out var run)
        || run.IsUnmetered
        || run.DrawAtPse.Provenance != Provenance.Unknown;

    private static bool IsPortKnown(string type, PsePortRef at, DesignModel design, SiteAssessment site)
    {
        if (!site.Agents.TryGetValue(at.PseId, out var agent))
        {
            return true;
        }

        if (!site.Ports.TryGetValue(at, out var port))
        {
            // A whole answer without the port says that it is gone.
            return agent.Outcome == PollOutcome.Answered;
        }

        return type switch
        {
            AlarmTypes.HeadroomLow => IsDrawKnown(port.Draw, port.Limit is { } limit && port.DrawHeadroom >= design.Headroom.AtPort.Early.For(limit)),
            AlarmTypes.DrawAboveDesign => IsDrawKnown(port.Draw, port.Draw.Watts <= port.DesignDemand),
            AlarmTypes.GrantTooSmall => port.State is not (PortState.Unknown or PortState.Delivering) || port.AssignedClass is not null,
            _ => port.State != PortState.Unknown,
        };
    }

    /// <summary>A ceiling is no draw, so it raises nothing and clears nothing, save where even the ceiling leaves enough.</summary>
    private static bool IsDrawKnown(KnownPower draw, bool ceilingProves) =>
        draw.Provenance.IsDraw() || (draw.Provenance.IsCeiling() && ceilingProves);

    private static string? Rest(AlarmKey key, string prefix) =>
        key.Resource.StartsWith(prefix, StringComparison.Ordinal) ? key.Resource[prefix.Length..] : null;
}
