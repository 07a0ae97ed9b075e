using System.Collections.Immutable;
using System.ComponentModel.DataAnnotations;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Alarming;

/// <summary>Delays and deadband of alarms, for all types and for single ones. Validated at the start. The defaults are common practice, without a source.</summary>
public sealed class AlarmOptions
{
    /// <summary>How long a condition must hold before its alarm is raised. Time in which nothing is known does not count.</summary>
    /// <value>0 s to 1 h; 30 s by default.</value>
    [Range(typeof(TimeSpan), "00:00:00", "01:00:00")]
    public TimeSpan OnDelay { get; set; } = TimeSpan.FromSeconds(30);

    /// <summary>How long a condition must be gone before its alarm is cleared. Time in which nothing is known does not count.</summary>
    /// <value>0 s to 24 h; 60 s by default.</value>
    [Range(typeof(TimeSpan), "00:00:00", "1.00:00:00")]
    public TimeSpan OffDelay { get; set; } = TimeSpan.FromSeconds(60);

    /// <summary>How far above its floor a value has to be before its alarm may clear, in percent of the floor.</summary>
    /// <value>0 to 50 percent; 2 by default. The larger of this and <see cref="DeadbandWatts"/> counts.</value>
    [Range(0, 50)]
    public int DeadbandPercent { get; set; } = 2;

    /// <summary>The same in watts.</summary>
    /// <value>0 to 100 W; 1 by default.</value>
    [Range(0, 100)]
    public double DeadbandWatts { get; set; } = 1;

    /// <summary>How long a cleared alarm stays in the list; its changes stay for good.</summary>
    /// <value>1 day to 3650 days; 30 days by default.</value>
    [Range(typeof(TimeSpan), "1.00:00:00", "3650.00:00:00")]
    public TimeSpan KeepCleared { get; set; } = TimeSpan.FromDays(30);

    /// <summary>What single types have otherwise, by their name such as <c>port-dark</c>.</summary>
    /// <value>Names of types; none by default.</value>
    public Dictionary<string, AlarmTypeOptions> Types { get; set; } = new(StringComparer.Ordinal);

    /// <summary>The same for the domain.</summary>
    public AlarmTimings ToTimings() => new()
    {
        OnDelay = OnDelay,
        OffDelay = OffDelay,
        DeadbandShare = Ratio.FromPercent(DeadbandPercent),
        DeadbandWatts = DeadbandWatts,
        KeepCleared = KeepCleared,
        ByType = Types.ToImmutableSortedDictionary(
            type => type.Key,
            type => new TypeTimings(
                type.Value.OnDelay,
                type.Value.OffDelay,
                type.Value.DeadbandPercent is { } percent ? Ratio.FromPercent(percent) : null,
                type.Value.DeadbandWatts)),
    };
}

/// <summary>What one alarm type has otherwise; what is not set stays as it is for the type.</summary>
public sealed class AlarmTypeOptions
{
    /// <summary>How long a condition must hold.</summary>
    /// <value>0 s to 24 h.</value>
    [Range(typeof(TimeSpan), "00:00:00", "1.00:00:00")]
    public TimeSpan? OnDelay { get; set; }

    /// <summary>How long a condition must be gone.</summary>
    /// <value>0 s to 24 h.</value>
    [Range(typeof(TimeSpan), "00:00:00", "1.00:00:00")]
    public TimeSpan? OffDelay { get; set; }

    /// <summary>Deadband in percent of the floor.</summary>
    /// <value>0 to 50 percent.</value>
    [Range(0, 50)]
    public int? DeadbandPercent { get; set; }

    /// <summary>Deadband in the unit of the value.</summary>
    /// <value>0 to 100.</value>
    [Range(0, 100)]
    public double? DeadbandWatts { get; set; }
}
