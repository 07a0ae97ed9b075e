using System.Globalization;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>The clock of the machine that the service runs on was stepped within the hour.</summary>
internal static class ClockOffRule
{
    private static readonly TimeSpan s_told = TimeSpan.FromHours(1);

    private const string NextSteps =
        "1. See whether NTP runs on this machine and reaches its servers. 2. Note the step for whoever reads the history of this hour: times before and after do not fit together. 3. Polls, delays and "
        + "alarms ran on; load cases and schedules go by the clock as it is now.";

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        if (input.Memory is { ClockStep: { } step } memory && memory.Running - step.Running < s_told)
        {
            yield return AlarmCondition.Plain(
                new AlarmKey(AlarmResources.Site, AlarmTypes.ClockOff),
                AlarmSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"Clock of this machine off: it was stepped by {step.Step.TotalSeconds:+0.0;-0.0} s to {step.At.UtcDateTime:yyyy-MM-dd HH:mm:ss} UTC (measured against its monotonic clock; told from 2 s, for an hour)."),
                NextSteps);
        }
    }
}
