using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Batteries and the switches behind them; needs every switch to be known.</summary>
internal static class UpsBuilder
{
    public static void Build(DesignParts parts)
    {
        var feeding = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var written in parts.Config.UpsUnits)
        {
            var id = written.Id?.Value ?? "";
            var values = new ValueReader(parts.Problems, id, written.At);
            if (written.Feeds.IsEmpty)
            {
                values.Missing("feeds", "the ids of the switches behind it");
            }

            var built = new Ups(
                id,
                written.Name?.Value ?? id,
                [.. written.Feeds.Where(feeds => IsFree(parts, feeding, feeds, id)).Select(feeds => feeds.Value)],
                values.Number(written.UsableWattHours, DesignNumbers.UpsEnergy),
                Ratio.FromPercent(values.Number(written.InverterEfficiencyPercent, DesignNumbers.InverterEfficiency)),
                Ratio.FromPercent(values.Number(written.BatteryHealthPercent, DesignNumbers.BatteryHealth)),
                values.Power(written.OtherLoadWatts, DesignNumbers.UpsOtherLoad),
                values.NumberOrNull(written.WantedRuntimeMinutes, DesignNumbers.WantedRuntime) is { } minutes ? TimeSpan.FromMinutes(minutes) : null)
            {
                Agent = written.Agent is { } agent ? AgentBuilder.Build(parts.Problems, id, agent) : null,
            };
            if (parts.Elements.Take(parts.Problems, written.Id, ElementKind.Ups, written.At))
            {
                parts.UpsUnits.Add(id, built);
            }
        }
    }

    private static bool IsFree(DesignParts parts, Dictionary<string, string> feeding, Written<string> feeds, string id)
    {
        if (!parts.Switches.ContainsKey(feeds.Value))
        {
            parts.Problems.Error(
                "unknown-switch", feeds, id, $"There is no switch '{feeds.Value}'.",
                $"{Suggestion.Hint(feeds.Value, parts.Switches.Keys)}Name a switch listed under 'switches'; what else hangs on the UPS is 'other-load-w'.");
            return false;
        }

        if (!feeding.TryAdd(feeds.Value, id))
        {
            parts.Problems.Error(
                "ups-feeds-twice", feeds, id, $"The switch '{feeds.Value}' hangs on UPS '{feeding[feeds.Value]}' already.",
                "Name it once. Two batteries that share a switch are one UPS with their watt-hours together.");
            return false;
        }

        return true;
    }
}
