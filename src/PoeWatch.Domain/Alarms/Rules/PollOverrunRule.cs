using System.Globalization;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>Reading an agent that does answer takes longer than its poll period.</summary>
internal static class PollOverrunRule
{
    private const string NextSteps =
        "1. Set a longer poll period for this switch in the design. 2. See whether answers get lost on the way (retries cost time) or the switch's processor is busy. 3. Until then its readings come "
        + "late, and alarms with them.";

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input) =>
        from agent in input.Site.Agents.Values
        where agent.Outcome is PollOutcome.Answered or PollOutcome.Partial
        let period = input.Design.Agents[agent.PseId].PollPeriod
        where agent.Took > period
        select AlarmCondition.Plain(
            new AlarmKey(AlarmResources.Switch(agent.PseId), AlarmTypes.PollOverrun),
            AlarmSeverity.Warning,
            string.Create(CultureInfo.InvariantCulture, $"Poll overrun at switch {agent.PseId}: reading it took {agent.Took!.Value.TotalSeconds:0.0} s (measured), its poll period is {period.TotalSeconds:0} s (design)."),
            NextSteps);
}
