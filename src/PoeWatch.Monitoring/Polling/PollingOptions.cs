using System.ComponentModel.DataAnnotations;

namespace PoeWatch.Monitoring.Polling;

/// <summary>How agents are asked. Validated at the start.</summary>
public sealed class PollingOptions
{
    /// <summary>Polls in flight at once, over all agents.</summary>
    /// <value>1 to 10000 polls; 2000 by default: a silent agent holds its place for seconds, and a tenth of 20,000 may be silent.</value>
    [Range(1, 10000)]
    public int MaxInFlight { get; set; } = 2_000;

    /// <summary>Wait for one answer before it is asked again; doubles with each retry.</summary>
    /// <value>100 ms to 30 s; 1 s by default.</value>
    [Range(typeof(TimeSpan), "00:00:00.100", "00:00:30")]
    public TimeSpan Timeout { get; set; } = TimeSpan.FromSeconds(1);

    /// <summary>How often one request is repeated.</summary>
    /// <value>0 to 5 times; 2 by default.</value>
    [Range(0, 5)]
    public int Retries { get; set; } = 2;

    /// <summary>Longest time of one poll; then it is given up and the agent counts as silent.</summary>
    /// <value>1 s to 10 min; 1 min by default. It must leave room for the retries of several requests.</value>
    [Range(typeof(TimeSpan), "00:00:01", "00:10:00")]
    public TimeSpan PollTimeMax { get; set; } = TimeSpan.FromMinutes(1);

    /// <summary>Longest time between two polls of a silent agent.</summary>
    /// <value>1 s to 1 h; 5 min by default. The poll period where that is longer.</value>
    [Range(typeof(TimeSpan), "00:00:01", "01:00:00")]
    public TimeSpan SilentPeriodMax { get; set; } = TimeSpan.FromMinutes(5);

    /// <summary>How often interfaces, neighbours, the priorities of ports and what an agent offers are read again; sooner where the agent says that they changed.</summary>
    /// <value>10 s to 1 day; 15 min by default.</value>
    [Range(typeof(TimeSpan), "00:00:10", "1.00:00:00")]
    public TimeSpan NamesPeriod { get; set; } = TimeSpan.FromMinutes(15);

    /// <summary>How often the fault counters of ports are read, with the poll that is due then.</summary>
    /// <value>10 s to 1 day; 5 min by default.</value>
    [Range(typeof(TimeSpan), "00:00:10", "1.00:00:00")]
    public TimeSpan CountersPeriod { get; set; } = TimeSpan.FromMinutes(5);

    /// <summary>How often the thermometers of the design are read; after three periods without an answer a temperature is unknown.</summary>
    /// <value>10 s to 1 h; 2 min by default.</value>
    [Range(typeof(TimeSpan), "00:00:10", "01:00:00")]
    public TimeSpan ThermometerPeriod { get; set; } = TimeSpan.FromMinutes(2);

    /// <summary>Start of the random phases that spread polls over their period; the same seed gives the same phases.</summary>
    /// <value>Any whole number; 1 by default.</value>
    public int PhaseSeed { get; set; } = 1;
}
