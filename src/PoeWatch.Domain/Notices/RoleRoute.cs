using System.Collections.Frozen;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence;

namespace PoeWatch.Domain.Notices;

/// <summary>What one role wants to be told, and when. Immutable.</summary>
/// <param name="Role">Name of the role.</param>
public sealed record RoleRoute(string Role)
{
    /// <value>The mildest severity that is told.</value>
    public AlarmSeverity LeastSeverity { get; init; } = AlarmSeverity.Warning;

    /// <value>Types of alarms that are told; empty for all.</value>
    public FrozenSet<string> Types { get; init; } = FrozenSet<string>.Empty;

    /// <value>Ids of poles whose alarms are told; empty for all, also for what is on no pole.</value>
    public FrozenSet<string> PoleIds { get; init; } = FrozenSet<string>.Empty;

    /// <value>Topics of news that are told.</value>
    public FrozenSet<string> Topics { get; init; } = FrozenSet<string>.Empty;

    /// <value>True where acknowledging, closing and shelving of what was told is told as well.</value>
    public bool TellsOperatorStates { get; init; }

    /// <value>Hours of the site's clock in which only critical alarms are told; null for none.</value>
    public QuietHours? Quiet { get; init; }

    /// <value>What is milder than this waits for the digest; Unknown for no digest.</value>
    public AlarmSeverity DigestBelow { get; init; }

    /// <value>From one digest to the next, counted from midnight at the site.</value>
    public TimeSpan DigestPeriod { get; init; } = TimeSpan.FromHours(1);

    /// <summary>True where the role is told of such an alarm.</summary>
    /// <param name="poleIds">Poles that the alarm concerns.</param>
    public bool Wants(string type, AlarmSeverity severity, IReadOnlyCollection<string> poleIds) =>
        severity >= LeastSeverity
        && (Types.Count == 0 || Types.Contains(type))
        && (PoleIds.Count == 0 || poleIds.Any(PoleIds.Contains));

    /// <summary>When a notice of this severity goes out, and whether in a digest. Critical ones go at once, always.</summary>
    public (DateTimeOffset DueAt, bool IsHeld) DueAt(AlarmSeverity severity, DateTimeOffset now, TimeZoneInfo zone)
    {
        if (severity >= AlarmSeverity.Critical)
        {
            return (now, false);
        }

        var isForDigest = severity < DigestBelow;
        var due = isForDigest ? NextDigest(now, zone) : now;
        return Quiet?.EndAt(due, zone) is { } morning ? (morning, true) : (due, isForDigest);
    }

    // Counted from the first moment of the site's day, so that digests come at the same hours every day; the last one of a day is cut by midnight.
    private DateTimeOffset NextDigest(DateTimeOffset now, TimeZoneInfo zone)
    {
        var day = LocalDay.Of(DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, zone).DateTime), zone);
        var next = day.Start + (DigestPeriod * (Math.Floor((now - day.Start) / DigestPeriod) + 1));
        return next < day.End ? next : day.End;
    }
}

/// <summary>Hours of the day, by the site's clock, in which only critical alarms are told; they may go over midnight.</summary>
public readonly record struct QuietHours(TimeOnly From, TimeOnly To)
{
    /// <summary>End of the quiet hours that a moment lies in; null where it lies in none.</summary>
    public DateTimeOffset? EndAt(DateTimeOffset at, TimeZoneInfo zone)
    {
        var clock = new SiteClock(zone.Id);
        var window = new DailyWindow(From, To);
        var spans = clock.Within(DayOf(at, zone), window).Where(s => s.From <= at && at < s.To).ToArray();
        if (spans.Length == 0)
        {
            return null;
        }

        // Hours over midnight end on the next day.
        var end = spans[0].To;
        var next = DayOf(end, zone);
        return end == next.From && From > To ? clock.Within(next, window).First().To : end;
    }

    private static UtcSpan DayOf(DateTimeOffset at, TimeZoneInfo zone)
    {
        var day = LocalDay.Of(DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, zone).DateTime), zone);
        return new UtcSpan(day.Start, day.End);
    }
}
