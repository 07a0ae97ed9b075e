using PoeWatch.Domain.Alarms;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>By when an alarm has to be there and by when it has to be gone, from what is configured: no figure of the rules themselves but the published delays.</summary>
internal static class YearTimes
{
    private static readonly AlarmTimings s_timings = new();

    // What a fault or its end needs to be seen: the agent's refresh, the next poll, and the beat at which the year is stepped.
    private static readonly TimeSpan s_seen = YearHarbour.Refresh + YearOptions.PollPeriod + (2 * YearOptions.Beat);

    /// <summary>On-delay, one poll, the agent's refresh and the beat of the run.</summary>
    public static TimeSpan ToRaise(string type, TimeSpan more = default) => s_timings.For(type).OnDelay + s_seen + more;

    /// <summary>Off-delay and the same.</summary>
    public static TimeSpan ToClear(string type, TimeSpan more = default) => s_timings.For(type).OffDelay + s_seen + more;

    /// <summary>An alarm of a fault that holds from the first moment to the last.</summary>
    public static ExpectedAlarm Expect(string resource, string type, TimeSpan from, TimeSpan to, TimeSpan later = default, TimeSpan longer = default) =>
        new(new AlarmKey(resource, type), from, from + ToRaise(type, later), to + ToClear(type, longer));
}
