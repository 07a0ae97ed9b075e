using PoeWatch.Monitoring.Polling;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What the year's service has otherwise than by default.</summary>
internal static class YearOptions
{
    /// <summary>The pace of the year: once a minute what is due is polled and the site is assessed. A running service does so once a second.</summary>
    public static readonly TimeSpan Beat = TimeSpan.FromMinutes(1);

    /// <summary>As the design has it for every agent.</summary>
    public static readonly TimeSpan PollPeriod = TimeSpan.FromMinutes(5);

    /// <summary>
    /// One poll at a time, so that a run by the same seed is the same run. Phases of the polls that fall near each other: the site is then assessed twice in five
    /// minutes, and both ends of the metered segments are read within the same half minute.
    /// </summary>
    public static PollingOptions Polling { get; } = new() { MaxInFlight = 1, PhaseSeed = 6, ThermometerPeriod = TimeSpan.FromMinutes(5) };
}
