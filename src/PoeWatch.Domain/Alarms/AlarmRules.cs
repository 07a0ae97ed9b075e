using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Alarms.Rules;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Alarms;

/// <summary>All rules of one moment: what they find, and of which keys nothing is known. Pure and thread safe.</summary>
/// <remarks>A rule is a static class in <c>Rules/</c>; to add one, write it and name it here, and say in <see cref="IsKnown"/>'s class when it knows nothing.</remarks>
public static class AlarmRules
{
    /// <summary>Every condition that holds, or stands in the deadband above its floor.</summary>
    /// <param name="timings">Those of the book; the defaults where not given.</param>
    /// <param name="memory">What is remembered; null where nobody remembers.</param>
    public static IReadOnlyList<AlarmCondition> Evaluate(
        DesignModel design, SiteAssessment assessment, AlarmTimings? timings = null, SiteMemory? memory = null)
    {
        var input = new RuleInput(design, assessment, timings ?? new AlarmTimings(), memory);
        return
        [
            .. HeadroomAtRunRule.Evaluate(input),
            .. HeadroomByDesignRule.Evaluate(input),
            .. HeadroomAtPortRule.Evaluate(input),
            .. HeadroomAtGroupRule.Evaluate(input),
            .. HeadroomAtSupplyRule.Evaluate(input),
            .. SupplyLostRule.Evaluate(input),
            .. BudgetReachedRule.Evaluate(input),
            .. DrawAboveDesignRule.Evaluate(input),
            .. DrawStepRule.Evaluate(input),
            .. DrawCreepRule.Evaluate(input),
            .. CableResistanceRule.Evaluate(input),
            .. GrantTooSmallRule.Evaluate(input),
            .. PortDarkRule.Evaluate(input),
            .. PortUnexpectedRule.Evaluate(input),
            .. PortFaultRule.Evaluate(input),
            .. FaultCountsRule.Evaluate(input),
            .. FlappingRule.Evaluate(input),
            .. ScheduleRule.Evaluate(input),
            .. UpgradeDueRule.Evaluate(input),
            .. PriorityDiffersRule.Evaluate(input),
            .. FindingRule.Evaluate(input),
            .. UpsOnBatteryRule.Evaluate(input),
            .. SwitchSilentRule.Evaluate(input),
            .. PollRefusedRule.Evaluate(input),
            .. PollOverrunRule.Evaluate(input),
            .. ClockOffRule.Evaluate(input),
            .. CabinetHotRule.Evaluate(input),
        ];
    }

    /// <summary>
    /// False where the assessment knows nothing of the key: then its alarm is neither raised nor cleared. What the design no longer has is known to be
    /// gone.
    /// </summary>
    public static bool IsKnown(AlarmKey key, DesignModel design, SiteAssessment assessment, SiteMemory? memory = null) =>
        AlarmKnowledge.IsKnown(key, new RuleInput(design, assessment, new AlarmTimings(), memory));
}
