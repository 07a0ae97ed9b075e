using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// The far end of a metered run can take too little more in the worst load case that can still come, with the live excess on top. Speaks only where the
/// watts are a draw.
/// </summary>
internal static class HeadroomAtRunRule
{
    private const string NextSteps =
        "1. Add no device on this run. 2. Compare each device with the design: a heater or infrared light on at the wrong time, a changed device, a fault. "
        + "3. If the draw is right, correct the design; if not, find the device that draws too much. 4. Plan a stronger feed or a shorter run. "
        + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        var policy = input.Design.Headroom.AtRun;
        foreach (var run in input.Site.CableRuns.Values.Where(r => r.DrawAtPse.Provenance.IsDraw()))
        {
            var limit = input.Design.CableRuns[run.CableRunId].Source.Limit;
            var left = Left(run);
            if (input.IsNear(left, policy.Early.For(limit), AlarmTypes.HeadroomLow))
            {
                var key = new AlarmKey(AlarmResources.CableRun(run.CableRunId), AlarmTypes.HeadroomLow);
                var levels = RuleInput.Levels(policy, limit);
                yield return RuleInput.Levelled(key, left.Watts, levels, Text(input, run, policy.Early.For(limit)), NextSteps) with
                {
                    // A limit that is broken is told at once, whoever boots.
                    OnDelay = left >= Power.Zero && run.Excess > Power.Zero && input.Design.CableRuns[run.CableRunId].Source.Port is { } port
                        ? input.WhileBooting(port)
                        : null,
                };
            }
        }
    }

    /// <summary>A broken limit that less load would not mend leaves 0 W: for the floor of "broken" that has to count as less.</summary>
    internal static Power Left(RunAssessment run) =>
        run.Headroom.Binding.IsBroken ? Power.Min(run.Headroom.Watts, Power.FromMilliwatts(-1)) : run.Headroom.Watts;

    private static string Text(RuleInput input, RunAssessment run, Power floor)
    {
        var left = run.Headroom.Binding.IsBroken ? "a limit is broken" : $"{RuleInput.Watts(run.Headroom.Watts)} left";
        var draw = run.DesignDemandNow is { } demand
            ? $"The run draws {RuleInput.Watts(run.DrawAtPse)} at the PSE, the design expects up to {RuleInput.Watts(demand)} now"
            : $"The run draws {RuleInput.Watts(run.DrawAtPse)} at the PSE, the design says it cannot be fed";
        var excess = run.Excess > Power.Zero ? $": {RuleInput.Watts(run.Excess)} too much." : ".";
        return $"Headroom low on {input.Place(run)}: {left} at {run.Headroom.AtElement} in load case {run.WorstLoadCaseId}, at least "
            + $"{RuleInput.Watts(floor)} should be. {draw}{excess} First limit: {run.Headroom.Binding.Sentence} ({run.Headroom.Binding.Source})";
    }
}
