using System.Collections.Immutable;
using System.Text.RegularExpressions;
using static PoeWatch.Simulator.Faults.ScriptNumbers;

namespace PoeWatch.Simulator.Faults;

/// <summary>What a script says of agents: their clock, counters, meters and answers.</summary>
internal static partial class AgentSentences
{
    private static readonly TimeSpan s_longestDelay = TimeSpan.FromMinutes(1);

    public static ImmutableArray<ScriptSentence> All { get; } =
    [
        new("agent ID clock steps 90 s", Clock(), (match, names) =>
            names.Agent(match) is { } id ? new AgentClockSteps(id, match.Groups["back"].Success ? -Time(match) : Time(match)) : null),
        new("agent ID counters at 4294967290", Counters(), (match, names) =>
            names.Agent(match) is { } id && Within(0, uint.MaxValue, "", match, "value", names) is { } value ? new AgentCountersAt(id, (uint)value) : null),
        new("agent ID meter errs 2 % | meter is right", MeterError(), ReadMeterError),
        new("agent ID meter shows steps of 100 mW | meter shows steps as built", MeterStep(), ReadMeterStep),
        new("agent ID repeats its watts for 5 m | tells its watts afresh", Repeats(), ReadRepeats),
        new("agent ID loses 2 % of its answers | loses none", Losses(), ReadLosses),
        new("agent ID answers after 0.5 s | answers at once", Delays(), ReadDelay),
        new("agent ID tells port watts times 10 | tells port watts as they are", Factors(), ReadFactor),
        new("agent ID refuses its credentials | takes its credentials", Refusals(), (match, names) =>
            names.Agent(match) is { } id ? new AgentRefuses(id, match.Groups["refuses"].Success) : null),
    ];

    private static AgentMeterErrs? ReadMeterError(Match match, ScriptNames names)
    {
        if (names.Agent(match) is not { } id)
        {
            return null;
        }

        return !match.Groups["percent"].Success ? new AgentMeterErrs(id, 0)
            : Within(-50, 50, "%", match, "percent", names) is { } percent ? new AgentMeterErrs(id, percent)
            : null;
    }

    private static AgentMeterSteps? ReadMeterStep(Match match, ScriptNames names)
    {
        if (names.Agent(match) is not { } id)
        {
            return null;
        }

        return !match.Groups["step"].Success ? new AgentMeterSteps(id, null)
            : Within(1, 100_000, "mW", match, "step", names) is { } step ? new AgentMeterSteps(id, (int)step)
            : null;
    }

    private static AgentRepeatsWatts? ReadRepeats(Match match, ScriptNames names)
    {
        if (names.Agent(match) is not { } id)
        {
            return null;
        }

        return !match.Groups["time"].Success ? new AgentRepeatsWatts(id, null)
            : Period(match, names) is { } period ? new AgentRepeatsWatts(id, period)
            : null;
    }

    private static AgentLosesAnswers? ReadLosses(Match match, ScriptNames names)
    {
        if (names.Agent(match) is not { } id)
        {
            return null;
        }

        return !match.Groups["percent"].Success ? new AgentLosesAnswers(id, 0)
            : Within(0, 100, "%", match, "percent", names) is { } percent ? new AgentLosesAnswers(id, percent)
            : null;
    }

    private static AgentWattsTimes? ReadFactor(Match match, ScriptNames names)
    {
        if (names.Agent(match) is not { } id)
        {
            return null;
        }

        return !match.Groups["factor"].Success ? new AgentWattsTimes(id, 1)
            : Within(0.001, 1000, "times", match, "factor", names) is { } factor ? new AgentWattsTimes(id, factor)
            : null;
    }

    private static AgentAnswersAfter? ReadDelay(Match match, ScriptNames names)
    {
        if (names.Agent(match) is not { } id)
        {
            return null;
        }

        if (!match.Groups["time"].Success)
        {
            return new AgentAnswersAfter(id, TimeSpan.Zero);
        }

        if (Time(match) is var delay && delay <= s_longestDelay)
        {
            return new AgentAnswersAfter(id, delay);
        }

        names.Problem(match.Groups["time"].Value + match.Groups["unit"].Value, "No manager waits so long.", "Write 1 m or less, or let the agent be silent.");
        return null;
    }

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+clock\s+steps\s+(\+|(?<back>-))?(?<time>\d{1,9}(\.\d{1,9})?)\s*(?<unit>s|m|h|d)$")]
    private static partial Regex Clock();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+counters\s+at\s+(?<value>\d{1,12})$")]
    private static partial Regex Counters();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+meter\s+(errs\s+(?<percent>-?\d{1,3}(\.\d{1,9})?)\s*%|is\s+right)$")]
    private static partial Regex MeterError();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+meter\s+shows\s+steps\s+(of\s+(?<step>\d{1,7})\s*mW|as\s+built)$")]
    private static partial Regex MeterStep();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+(repeats\s+its\s+watts\s+for\s+(?<time>\d{1,9}(\.\d{1,9})?)\s*(?<unit>s|m|h|d)|tells\s+its\s+watts\s+afresh)$")]
    private static partial Regex Repeats();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+loses\s+((?<percent>\d{1,3}(\.\d{1,9})?)\s*%\s+of\s+its\s+answers|none)$")]
    private static partial Regex Losses();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+answers\s+(after\s+(?<time>\d{1,9}(\.\d{1,9})?)\s*(?<unit>s|m|h|d)|at\s+once)$")]
    private static partial Regex Delays();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+tells\s+port\s+watts\s+(times\s+(?<factor>\d{1,4}(\.\d{1,9})?)|as\s+they\s+are)$")]
    private static partial Regex Factors();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+((?<refuses>refuses)|takes)\s+its\s+credentials$")]
    private static partial Regex Refusals();
}
