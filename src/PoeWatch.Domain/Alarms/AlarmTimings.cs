using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Alarms;

/// <summary>What one alarm type has otherwise than <see cref="AlarmTimings"/>; null where it does not.</summary>
public sealed record TypeTimings(TimeSpan? OnDelay, TimeSpan? OffDelay, Ratio? DeadbandShare, double? DeadbandWatts);

/// <summary>How long and how far before an alarm comes and goes. The defaults are common practice, without a published source. Immutable.</summary>
public sealed record AlarmTimings
{
    /// <value>How long a condition must hold before it is raised. Default 30 s; 0 s or more.</value>
    public TimeSpan OnDelay { get; init; } = TimeSpan.FromSeconds(30);

    /// <value>How long a condition must be gone before it is cleared. Default 60 s; 0 s or more.</value>
    public TimeSpan OffDelay { get; init; } = TimeSpan.FromSeconds(60);

    /// <value>Deadband as a share of the floor. Default 2 %; 0 or more. The larger of this and <see cref="DeadbandWatts"/> counts.</value>
    public Ratio DeadbandShare { get; init; } = Ratio.FromPercent(2);

    /// <value>Deadband in the unit of the value, watts where it is power. Default 1; 0 or more.</value>
    public double DeadbandWatts { get; init; } = 1;

    /// <value>How long a cleared alarm stays in the list. Default 30 days; its changes stay for good.</value>
    public TimeSpan KeepCleared { get; init; } = TimeSpan.FromDays(30);

    /// <value>What types have otherwise; by default what <see cref="AlarmTypeTable"/> says of them.</value>
    public ImmutableSortedDictionary<string, TypeTimings> ByType { get; init; } = ImmutableSortedDictionary<string, TypeTimings>.Empty;

    /// <summary>The timings of one type: what is set for it, else what its table has, else the general ones.</summary>
    public AlarmTimings For(string type)
    {
        var written = ByType.GetValueOrDefault(type);
        var table = AlarmTypeTable.Find(type)?.Timings;
        return written is null && table is null
            ? this
            : this with
            {
                OnDelay = written?.OnDelay ?? table?.OnDelay ?? OnDelay,
                OffDelay = written?.OffDelay ?? table?.OffDelay ?? OffDelay,
                DeadbandShare = written?.DeadbandShare ?? table?.DeadbandShare ?? DeadbandShare,
                DeadbandWatts = written?.DeadbandWatts ?? table?.DeadbandWatts ?? DeadbandWatts,
            };
    }

    /// <summary>The value that an active alarm clears at: its floor and the deadband on top.</summary>
    public double ClearsAt(double floor) => floor + Math.Max(Math.Abs(floor) * DeadbandShare.Fraction, DeadbandWatts);
}
