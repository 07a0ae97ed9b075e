using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence;

namespace PoeWatch.Domain.Conditions;

/// <summary>A stretch of UTC, half-open; <c>default</c> is empty.</summary>
public readonly record struct UtcSpan(DateTimeOffset From, DateTimeOffset To)
{
    public bool IsEmpty => From >= To;
}

/// <summary>The clock on the site's wall: days, months and hours as stretches of UTC, over every change of the clock. Pure and thread safe.</summary>
public sealed class SiteClock(string timeZoneId)
{
    private readonly TimeZoneInfo _zone = ZoneOf(timeZoneId);

    /// <summary>The zone, or UTC where this machine does not know it.</summary>
    public static TimeZoneInfo ZoneOf(string timeZoneId) =>
        TimeZoneInfo.TryFindSystemTimeZoneById(timeZoneId, out var zone) ? zone : TimeZoneInfo.Utc;

    public DateTime LocalTime(DateTimeOffset at) => TimeZoneInfo.ConvertTime(at, _zone).DateTime;

    /// <summary>From a moment to the end of its day.</summary>
    public UtcSpan RestOfDay(DateTimeOffset now) => new(now, LocalDay.Of(DateOnly.FromDateTime(LocalTime(now)), _zone).End);

    /// <summary>From a moment to the end of the next month.</summary>
    public UtcSpan RestOfSeason(DateTimeOffset now)
    {
        var local = LocalTime(now);
        var end = new DateOnly(local.Year, local.Month, 1).AddMonths(2);
        return new UtcSpan(now, LocalDay.Of(end, _zone).Start);
    }

    /// <summary>
    /// The stretches of a day that a window holds, cut to a part of that day. An hour that the clock skips is left out, one that comes twice counts twice.
    /// </summary>
    public IEnumerable<UtcSpan> Within(UtcSpan partOfDay, DailyWindow? window)
    {
        if (window is not { } hours || hours.From == hours.To)
        {
            return [partOfDay];
        }

        var date = DateOnly.FromDateTime(LocalTime(partOfDay.From));
        var day = LocalDay.Of(date, _zone);
        UtcSpan[] spans = hours.From < hours.To
            ? [new(First(date, hours.From), Last(date, hours.To))]
            : [new(day.Start, Last(date, hours.To)), new(First(date, hours.From), day.End)];
        return spans.Select(s => Cut(s, partOfDay)).Where(s => !s.IsEmpty);
    }

    private static UtcSpan Cut(UtcSpan span, UtcSpan within) =>
        new(span.From > within.From ? span.From : within.From, span.To < within.To ? span.To : within.To);

    private DateTimeOffset First(DateOnly date, TimeOnly time) => Utc(date, time, offsets => offsets.Max());

    private DateTimeOffset Last(DateOnly date, TimeOnly time) => Utc(date, time, offsets => offsets.Min());

    private DateTimeOffset Utc(DateOnly date, TimeOnly time, Func<TimeSpan[], TimeSpan> choose)
    {
        var local = date.ToDateTime(time, DateTimeKind.Unspecified);
        // A time that the clock skips stands for the moment of the change: the first minute that is skipped, by the offset from before.
        var isSkipped = _zone.IsInvalidTime(local);
        while (_zone.IsInvalidTime(local.AddMinutes(-1)) && isSkipped)
        {
            local = local.AddMinutes(-1);
        }

        var offset = isSkipped ? _zone.GetUtcOffset(local.AddMinutes(-1))
            : _zone.IsAmbiguousTime(local) ? choose(_zone.GetAmbiguousTimeOffsets(local))
            : _zone.GetUtcOffset(local);
        return new DateTimeOffset(local, offset).ToUniversalTime();
    }
}
