using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Design.Validation;

namespace PoeWatch.Domain.Design;

/// <summary>
/// Turns a written design into a model, or says everything that is wrong with it: no rule stops another. Pure and thread safe.
/// </summary>
public static class DesignValidator
{
    /// <param name="config">The design as written.</param>
    /// <param name="hash">SHA-256 of the design's text in lower-case hex.</param>
    /// <param name="readProblems">What reading the text found already; with an error among them there is no model.</param>
    public static DesignResult Validate(DesignConfig config, string hash, params IEnumerable<DesignProblem> readProblems)
    {
        var parts = new DesignParts(config);
        SiteBuilder.Build(parts);
        IntentBuilder.Build(parts);
        PseBuilder.Build(parts);
        UpsBuilder.Build(parts);
        FieldBuilder.Build(parts);
        new CableBuilder(parts).Build();
        new CableRunBuilder(parts).Build();
        ScheduleBuilder.Build(parts);
        ScheduleBuilder.CheckUplinks(parts);
        PlannedWorkBuilder.Build(parts);
        ConditionsBuilder.Build(parts);
        AgentRules.Check(parts);
        AgentRules.CheckAny(parts);
        new CableRunPowerRules(parts).Check();
        var demands = new GroupDemands(parts);
        new GroupPowerRules(parts, demands).Check();
        new SupplyRules(parts, demands).Check();
        ConditionRules.Check(parts);
        foreach (var problem in readProblems)
        {
            parts.Problems.Add(problem);
        }

        var problems = parts.Problems.InOrder();
        return new DesignResult(parts.Problems.HasError ? null : Assemble(parts, hash, problems), problems);
    }

    private static DesignModel Assemble(DesignParts parts, string hash, ImmutableArray<DesignProblem> warnings)
    {
        var runs = parts.Runs.ToImmutableSortedDictionary(run => run.Id, run => run, StringComparer.Ordinal);
        return new DesignModel
        {
            Hash = hash,
            Site = parts.Site,
            Poles = parts.Poles.ToFrozenDictionary(StringComparer.Ordinal),
            Switches = parts.Switches.ToFrozenDictionary(StringComparer.Ordinal),
            UpsUnits = parts.UpsUnits.ToImmutableSortedDictionary(StringComparer.Ordinal),
            Injectors = parts.Injectors.ToFrozenDictionary(StringComparer.Ordinal),
            Extenders = parts.Extenders.ToFrozenDictionary(StringComparer.Ordinal),
            PassThroughSwitches = parts.PassThroughSwitches.ToFrozenDictionary(StringComparer.Ordinal),
            DeviceTypes = parts.DeviceTypes.ToFrozenDictionary(StringComparer.Ordinal),
            Devices = parts.Devices.ToFrozenDictionary(StringComparer.Ordinal),
            CableRuns = runs,
            LoadCases = [.. parts.LoadCases],
            Schedules = [.. parts.Schedules],
            Maintenance = [.. parts.Maintenance],
            Conditions = parts.Conditions,
            Headroom = parts.Headroom,
            Agents = parts.Agents.ToFrozenDictionary(StringComparer.Ordinal),
            Warnings = warnings,
            CableRunsByPole = runs.Values
                .SelectMany(run => run.PoleIds, (run, poleId) => (run, poleId))
                .GroupBy(pair => pair.poleId, pair => pair.run, StringComparer.Ordinal)
                .ToFrozenDictionary(group => group.Key, group => group.ToImmutableArray(), StringComparer.Ordinal),
            CableRunByPort = runs.Values.Where(run => run.Source.Port is not null).ToFrozenDictionary(run => run.Source.Port!.Value),
            DataSidePorts = parts.Injectors.Values.Where(injector => injector.DataSide is not null)
                .ToFrozenDictionary(injector => injector.DataSide!.Value, injector => injector.Id),
        };
    }
}
