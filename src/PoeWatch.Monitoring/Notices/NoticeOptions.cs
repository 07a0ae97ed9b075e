using System.ComponentModel.DataAnnotations;

namespace PoeWatch.Monitoring.Notices;

/// <summary>Who is told of alarms, by which way, and how hard it is tried.</summary>
public sealed class NoticeOptions
{
    /// <summary>Ways out, by names of one's own.</summary>
    public Dictionary<string, NoticeChannelOptions> Channels { get; set; } = new(StringComparer.Ordinal);

    /// <summary>Who is told what, by names of one's own such as operator, planner, auditor.</summary>
    public Dictionary<string, NoticeRoleOptions> Roles { get; set; } = new(StringComparer.Ordinal);

    /// <summary>Address under which people open the dashboard, for links in notices.</summary>
    /// <value>An http or https URL; none by default.</value>
    public string? DashboardUrl { get; set; }

    /// <summary>Wait after the first failed attempt of a lane; doubles with each further one.</summary>
    /// <value>1 s to 5 min; 5 s by default.</value>
    [Range(typeof(TimeSpan), "00:00:01", "00:05:00", ParseLimitsInInvariantCulture = true)]
    public TimeSpan RetryFirst { get; set; } = TimeSpan.FromSeconds(5);

    /// <summary>Longest wait between two attempts of a lane.</summary>
    /// <value>10 s to 1 h; 5 min by default.</value>
    [Range(typeof(TimeSpan), "00:00:10", "01:00:00", ParseLimitsInInvariantCulture = true)]
    public TimeSpan RetryMax { get; set; } = TimeSpan.FromMinutes(5);

    /// <summary>Longest time of one attempt.</summary>
    /// <value>1 s to 5 min; 30 s by default.</value>
    [Range(typeof(TimeSpan), "00:00:01", "00:05:00", ParseLimitsInInvariantCulture = true)]
    public TimeSpan SendTimeMax { get; set; } = TimeSpan.FromSeconds(30);

    /// <summary>A notice that could not be sent for so long is given up: dead.</summary>
    /// <value>1 h to 30 days; 3 days by default.</value>
    [Range(typeof(TimeSpan), "01:00:00", "30.00:00:00", ParseLimitsInInvariantCulture = true)]
    public TimeSpan GiveUpAfter { get; set; } = TimeSpan.FromDays(3);

    /// <summary>How often a receiver may refuse one notice until it is given up.</summary>
    /// <value>1 to 20; 3 by default.</value>
    [Range(1, 20)]
    public int RefusalsMax { get; set; } = 3;

    /// <summary>Notices that may wait in one lane; beyond it the lane takes no more alarm changes until some are sent, and no change is lost.</summary>
    /// <value>100 to 100000; 10000 by default.</value>
    [Range(100, 100_000)]
    public int WaitingMax { get; set; } = 10_000;

    /// <summary>Dead notices that are kept in all; beyond it the oldest go.</summary>
    /// <value>100 to 100000; 10000 by default.</value>
    [Range(100, 100_000)]
    public int DeadMax { get; set; } = 10_000;

    /// <summary>How long sent and dead notices stay to be seen.</summary>
    /// <value>1 h to 365 days; 30 days by default.</value>
    [Range(typeof(TimeSpan), "01:00:00", "365.00:00:00", ParseLimitsInInvariantCulture = true)]
    public TimeSpan KeepSent { get; set; } = TimeSpan.FromDays(30);
}

/// <summary>One way out. Which settings count depends on <see cref="Kind"/>; docs/settings.md has the table.</summary>
public sealed class NoticeChannelOptions
{
    /// <summary>webhook, mail, syslog or snmp.</summary>
    public string Kind { get; set; } = string.Empty;

    /// <summary>Webhook: where to POST to, https (http on loopback only).</summary>
    public string? Url { get; set; }

    /// <summary>Webhook: file with the secret that bodies are signed with, 16 characters or more.</summary>
    public string? SecretFile { get; set; }

    /// <summary>Mail, syslog and snmp: DNS name or address of the receiver.</summary>
    public string? Server { get; set; }

    /// <summary>Mail, syslog and snmp: port; 587 or 465 for mail, 6514 for syslog, 162 for snmp where not set.</summary>
    public int? Port { get; set; }

    /// <summary>Mail: starttls, tls, or none (loopback only).</summary>
    public string Security { get; set; } = "starttls";

    /// <summary>Mail: user of the server; none where it asks for none.</summary>
    public string? User { get; set; }

    /// <summary>Mail: file with the user's password.</summary>
    public string? PasswordFile { get; set; }

    /// <summary>Mail: sender.</summary>
    public string? From { get; set; }

    /// <summary>Mail: receivers.</summary>
    public IList<string> To { get; set; } = [];

    /// <summary>Syslog: facility 0 to 23 (RFC 5424); 16, local0, where not set.</summary>
    public int Facility { get; set; } = 16;

    /// <summary>Snmp: name under credentials of the community or user that the receiver knows.</summary>
    public string? Credentials { get; set; }

    /// <summary>Snmp: arc that the operator owns, such as 1.3.6.1.4.1.NUMBER.1, for notifications of one's own; the registered ones of the ALARM-MIB where not set.</summary>
    public string? Arc { get; set; }

    /// <summary>PEM file with the authorities that the receiver's certificate may come from; those of the system where not set.</summary>
    public string? CaFile { get; set; }
}

/// <summary>What one role is told, and when.</summary>
public sealed class NoticeRoleOptions
{
    /// <summary>Names of channels.</summary>
    public IList<string> Channels { get; set; } = [];

    /// <summary>The mildest severity that is told: warning, minor, major or critical.</summary>
    public string Severity { get; set; } = "warning";

    /// <summary>Types of alarms; all where empty.</summary>
    public IList<string> Types { get; set; } = [];

    /// <summary>Poles by id; all where empty.</summary>
    public IList<string> Poles { get; set; } = [];

    /// <summary>Topics of news.</summary>
    public IList<string> Topics { get; set; } = [];

    /// <summary>True to be told as well when somebody acknowledges, closes or shelves.</summary>
    public bool OperatorStates { get; set; }

    /// <summary>Begin of the quiet hours by the site's clock, such as 22:00; none where not set.</summary>
    public TimeOnly? QuietFrom { get; set; }

    /// <summary>End of the quiet hours.</summary>
    public TimeOnly? QuietTo { get; set; }

    /// <summary>Milder alarms than this wait for the digest: minor, major or critical; none where not set.</summary>
    public string? DigestBelow { get; set; }

    /// <summary>From one digest to the next, 10 min to 1 day.</summary>
    public TimeSpan DigestPeriod { get; set; } = TimeSpan.FromHours(1);
}
