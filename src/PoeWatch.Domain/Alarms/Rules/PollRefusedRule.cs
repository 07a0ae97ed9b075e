using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>An agent answers, but with a refusal, with what cannot be read, or without POWER-ETHERNET-MIB: it will not mend by waiting.</summary>
internal static class PollRefusedRule
{
    private const string NextSteps =
        "1. Hold the credentials that the design names for this switch against those set in it: user, level, digest, privacy. 2. See whether the switch lets this "
        + "address read POWER-ETHERNET-MIB. 3. Until then nothing is known of its ports.";

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input) => input.Site.Agents.Values
        .Where(agent => agent.Outcome is PollOutcome.Refused or PollOutcome.Malformed or PollOutcome.NoPoe)
        .Select(agent => AlarmCondition.Plain(
            new AlarmKey(AlarmResources.Switch(agent.PseId), AlarmTypes.PollRefused),
            AlarmSeverity.Major,
            $"Switch {agent.PseId} {What(agent.Outcome)}. {agent.Detail}".TrimEnd(),
            NextSteps));

    private static string What(PollOutcome outcome) => outcome switch
    {
        PollOutcome.Refused => "refuses to be read",
        PollOutcome.Malformed => "answers what cannot be read",
        _ => "answers but has no POWER-ETHERNET-MIB",
    };
}
