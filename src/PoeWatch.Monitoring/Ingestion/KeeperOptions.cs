using System.ComponentModel.DataAnnotations;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>How readings are kept. Validated at the start.</summary>
public sealed class KeeperOptions
{
    /// <summary>How long finished polls are gathered before they are written together.</summary>
    /// <value>10 ms to 1500 ms; 500 ms by default. A reading is kept at most 2 s after the answer, so longer is not allowed.</value>
    [Range(typeof(TimeSpan), "00:00:00.010", "00:00:01.500")]
    public TimeSpan GatherTime { get; set; } = TimeSpan.FromMilliseconds(500);

    /// <summary>Finished polls that may wait in memory at most, where neither store nor spool takes them; beyond it the oldest are dropped and counted.</summary>
    /// <value>100 to 1000000 polls; 50000 by default (about 40 min of 20 switches a second).</value>
    [Range(100, 1_000_000)]
    public int WaitingMax { get; set; } = 50_000;

    /// <summary>How large the spool in the data folder may grow, which keeps readings while the store is away; when it is full they wait in memory.</summary>
    /// <value>1 to 1000000 MiB; 1024 by default (about six million polls of 48 ports).</value>
    [Range(1, 1_000_000)]
    public int SpoolMiB { get; set; } = 1024;

    /// <summary>Polls written in one transaction at most.</summary>
    /// <value>1 to 10000 polls; 2000 by default.</value>
    [Range(1, 10_000)]
    public int BatchMax { get; set; } = 2_000;
}
