using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// A run that nothing measures (unmetered, or known by a ceiling only) has too little headroom by the design alone: a standing warning, because no
/// reading can make it better or worse.
/// </summary>
internal static class HeadroomByDesignRule
{
    private const string NextSteps =
        "1. Add no device on this run. 2. Plan a stronger feed, or a PSE that measures, so that the draw can be held against the design. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        var policy = input.Design.Headroom.AtRun;
        foreach (var run in input.Site.CableRuns.Values.Where(r => r.IsUnmetered || r.DrawAtPse.Provenance.IsCeiling()))
        {
            var floor = policy.Early.For(input.Design.CableRuns[run.CableRunId].Source.Limit);
            var left = HeadroomAtRunRule.Left(run);
            if (!input.IsNear(left, floor, AlarmTypes.HeadroomLowByDesign))
            {
                continue;
            }

            var how = run.IsUnmetered ? "nobody measures this run" : $"the PSE gives only a ceiling, {RuleInput.Watts(run.DrawAtPse)}";
            var text = $"Headroom low by design on {input.Place(run)}: {RuleInput.Watts(run.Headroom.Watts)} left at {run.Headroom.AtElement} in load case "
                + $"{run.WorstLoadCaseId}, at least {RuleInput.Watts(floor)} should be; {how}. First limit: {run.Headroom.Binding.Sentence} "
                + $"({run.Headroom.Binding.Source})";
            yield return new AlarmCondition(
                new AlarmKey(AlarmResources.CableRun(run.CableRunId), AlarmTypes.HeadroomLowByDesign), AlarmSeverity.Warning, left.Watts, floor.Watts, text, NextSteps);
        }
    }
}
