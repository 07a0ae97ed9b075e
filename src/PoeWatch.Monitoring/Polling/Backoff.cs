namespace PoeWatch.Monitoring.Polling;

/// <summary>How much rarer a silent agent is asked. Pure.</summary>
public static class Backoff
{
    /// <summary>
    /// The period itself for the first two silences (a lost packet is no outage), then doubled with each, up to the larger of
    /// <paramref name="max"/> and the period.
    /// </summary>
    public static TimeSpan Period(TimeSpan period, int silences, TimeSpan max)
    {
        if (silences <= 2 || period >= max)
        {
            return period;
        }

        var doublings = Math.Min(silences - 2, 16);
        TimeSpan longer = period * (1 << doublings);
        return longer < max ? longer : max;
    }
}
