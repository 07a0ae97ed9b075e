using System.ComponentModel.DataAnnotations;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>How the history is packed and how long it stays. Validated at the start.</summary>
public sealed class HistoryOptions
{
    /// <summary>How long after its end an hour is packed. Polls that come later are packed apart, which takes more room.</summary>
    /// <value>1 min to 1 day; 15 min by default.</value>
    [Range(typeof(TimeSpan), "00:01:00", "1.00:00:00")]
    public TimeSpan PackLag { get; set; } = TimeSpan.FromMinutes(15);

    /// <summary>Days for which raw readings stay. PostgreSQL deletes whole months, and what is not yet rolled up or sealed stays longer.</summary>
    /// <value>1 to 36500; 400 by default.</value>
    [Range(1, 36_500)]
    public int RawDays { get; set; } = 400;

    /// <summary>Days for which figures of a quarter-hour stay.</summary>
    /// <value>1 to 36500; 1100 by default.</value>
    [Range(1, 36_500)]
    public int QuarterHourDays { get; set; } = 1_100;

    /// <summary>Days for which figures of an hour stay.</summary>
    /// <value>1 to 36500; 3660 by default.</value>
    [Range(1, 36_500)]
    public int HourDays { get; set; } = 3_660;

    /// <summary>Days for which figures of a day stay.</summary>
    /// <value>1 to 36500; 36500 by default.</value>
    [Range(1, 36_500)]
    public int DayDays { get; set; } = 36_500;
}
