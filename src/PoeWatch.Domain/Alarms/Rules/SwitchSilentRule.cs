using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// A polled element does not answer. One that is silent for a cause further up raises nothing of its own: it is named in the alarm of the root.
/// </summary>
internal static class SwitchSilentRule
{
    // What a poll may take until it gives up: an element further up is then polled once more and found silent before this one is raised.
    private static readonly TimeSpan s_lastAnswer = TimeSpan.FromSeconds(10);

    private const string NextSteps =
        "1. Reach the switch by another way (its management page, a ping). 2. If it cannot be reached: its mains, its supply, its uplink and the fibre at both ends. "
        + "3. If it can be reached: SNMP switched off, a changed community, a filter. What it feeds may still run: nothing is known of it. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var agent in input.Site.Agents.Values.Where(a => a is { Outcome: PollOutcome.Silent, SilentBecauseOf: null }))
        {
            yield return AlarmCondition.Plain(
                new AlarmKey(AlarmResources.Switch(agent.PseId), AlarmTypes.SwitchSilent), AlarmSeverity.Major, Text(input, agent), NextSteps) with
            {
                OnDelay = OnDelay(input, agent),
            };
        }
    }

    private static string Text(RuleInput input, AgentAssessment agent)
    {
        var behind = input.Site.Agents.Values.Where(a => a.SilentBecauseOf == agent.PseId).Select(a => a.PseId).Order(StringComparer.Ordinal).ToList();
        var silent = behind.Append(agent.PseId).ToHashSet(StringComparer.Ordinal);
        var poles = input.Design.CableRuns.Values
            .Where(run => run.Source.Port is { } port && silent.Contains(port.PseId))
            .SelectMany(run => run.PoleIds).Distinct().ToList();
        var last = agent.LastAnswerAt is { } at
            ? string.Create(CultureInfo.InvariantCulture, $"last answer {at.UtcDateTime:yyyy-MM-dd HH:mm:ss} UTC")
            : "no answer since the service started";
        return $"Switch {agent.PseId} is silent: {last}."
            + (behind.Count == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $" Silent behind it ({behind.Count}): {RuleInput.List(behind)}."))
            + (poles.Count == 0 ? "" : $" Unknown because of that, not zero: {input.Poles(poles)}.")
            + (agent.Detail.Length == 0 ? "" : $" {agent.Detail}");
    }

    private static TimeSpan OnDelay(RuleInput input, AgentAssessment agent)
    {
        var longest = TimeSpan.Zero;
        var seen = new HashSet<string>(StringComparer.Ordinal) { agent.PseId };
        for (var up = agent.Upstream; up is not null && seen.Add(up) && input.Site.Agents.TryGetValue(up, out var next); up = next.Upstream)
        {
            var until = input.Design.Agents[up].PollPeriod + s_lastAnswer;
            longest = until > longest ? until : longest;
        }

        var general = input.Timings.For(AlarmTypes.SwitchSilent).OnDelay;
        return longest > general ? longest : general;
    }
}
