using System.ComponentModel.DataAnnotations;

namespace PoeWatch.Monitoring.Notifications;

/// <summary>Where traps and informs of agents are listened for, and how many are taken. Validated at the start.</summary>
public sealed class NotificationOptions
{
    /// <summary>Address to listen on.</summary>
    /// <value>An IP address, such as 0.0.0.0 or ::, which takes both kinds; none by default: nothing is listened for.</value>
    public string? Address { get; set; }

    /// <summary>UDP port to listen on. The usual one, 162, is open to privileged programs only.</summary>
    /// <value>1 to 65535; 1162 by default.</value>
    [Range(1, 65535)]
    public int Port { get; set; } = 1162;

    /// <summary>Notifications a second that are taken from one address; twice as many in a burst.</summary>
    /// <value>1 to 1000 a second; 10 by default.</value>
    [Range(1, 1000)]
    public int AgentRateMax { get; set; } = 10;

    /// <summary>Notifications a second that are taken from all agents together; twice as many in a burst.</summary>
    /// <value>1 to 100000 a second; 500 by default.</value>
    [Range(1, 100_000)]
    public int RateMax { get; set; } = 500;

    /// <summary>Shortest time between two polls of one switch that notifications ask for.</summary>
    /// <value>100 ms to 5 min; 2 s by default.</value>
    [Range(typeof(TimeSpan), "00:00:00.100", "00:05:00")]
    public TimeSpan PollGap { get; set; } = TimeSpan.FromSeconds(2);
}
