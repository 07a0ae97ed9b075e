using System.ComponentModel.DataAnnotations;

namespace PoeWatch.Monitoring.Sealing;

/// <summary>How the history is sealed. Validated at the start.</summary>
public sealed class EvidenceOptions
{
    /// <summary>Time after the end of a quarter-hour at which it is sealed; what comes later is appended as an amendment.</summary>
    /// <value>30 s to 1 day; 5 min by default.</value>
    [Range(typeof(TimeSpan), "00:00:30", "1.00:00:00")]
    public TimeSpan SealLag { get; set; } = TimeSpan.FromMinutes(5);

    /// <summary>Private key (ECDSA P-256, PEM) that signs roots and exports; <c>poewatch seal-key</c> makes one.</summary>
    /// <value>A path; none by default, and nothing is signed then.</value>
    public string? KeyFile { get; set; }

    /// <summary>Folder that each day's root is written to; best on another machine.</summary>
    /// <value>A path; none by default.</value>
    public string? RootFolder { get; set; }

    /// <summary>Writes an RFC 3161 request (.tsq) beside each root, for those who have a time-stamping authority.</summary>
    /// <value>true or false; false by default.</value>
    public bool TimestampRequests { get; set; }
}
