using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Warns where devices take more in a condition that no load case reckons with: then the design promises too much.</summary>
internal static class ConditionRules
{
    public static void Check(DesignParts parts)
    {
        var used = parts.Devices.Values.Select(device => device.TypeId).ToHashSet(StringComparer.Ordinal);
        foreach (var written in parts.Config.DeviceTypes)
        {
            if (written.Id is not { } id || !used.Contains(id.Value) || parts.DeviceTypes.GetValueOrDefault(id.Value) is not { Physical: { } physical } type)
            {
                continue;
            }

            foreach (var (word, condition) in DesignChoices.TypeCondition.Choices)
            {
                if (physical.Names(condition) && !parts.LoadCases.Exists(loadCase => IsReckonedWith(type, physical, condition, loadCase)))
                {
                    parts.Problems.Warning(
                        "condition-in-no-case", id.At, id.Value, id.Value, $"Type '{id.Value}' takes more when '{word}', and no load case reckons with that.",
                        "Add a load case with that condition, or take a standard one under 'standard-load-cases'.");
                }
            }
        }
    }

    private static bool IsReckonedWith(DeviceType type, PhysicalDemand physical, LoadCondition condition, LoadCase loadCase) =>
        type.DemandByLoadCase.ContainsKey(loadCase.Id) || condition switch
        {
            LoadCondition.Cold => DeviceDemand.HeaterRuns(physical, loadCase),
            LoadCondition.PagingAll => PagingChoice.ConditionOf(loadCase) != LoadCondition.Unknown,
            _ => loadCase.Conditions.Contains(condition),
        };
}
