namespace PoeWatch.Domain.Evidence;

/// <summary>A day of the calendar at the site, as the stretch of UTC that it is: 23, 24 or 25 hours. Pure.</summary>
public readonly record struct LocalDay(DateTimeOffset Start, DateTimeOffset End)
{
    public static LocalDay Of(DateOnly date, TimeZoneInfo zone) => new(Midnight(date, zone), Midnight(date.AddDays(1), zone));

    /// <summary>The day that a moment lies in.</summary>
    public static LocalDay Holding(DateTimeOffset moment, TimeZoneInfo zone)
    {
        var date = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(moment, zone).DateTime);
        var day = Of(date, zone);

        // Where midnight is skipped or comes twice the clock on the wall and the day's first moment differ by a date.
        return moment < day.Start ? Of(date.AddDays(-1), zone) : moment >= day.End ? Of(date.AddDays(1), zone) : day;
    }

    /// <summary>Whole steps in the day.</summary>
    public int StepCount(TimeSpan step) => (int)((End - Start) / step);

    private static DateTimeOffset Midnight(DateOnly date, TimeZoneInfo zone)
    {
        var local = date.ToDateTime(TimeOnly.MinValue, DateTimeKind.Unspecified);
        // Some zones change the clock at midnight: the day then starts at the first moment that exists, at most an hour or two on.
        for (var minutes = 0; minutes < 180 && zone.IsInvalidTime(local); minutes += 15)
        {
            local = local.AddMinutes(15);
        }

        // Where midnight comes twice the day starts with the first one: the larger offset.
        var offset = zone.IsAmbiguousTime(local) ? zone.GetAmbiguousTimeOffsets(local).Max() : zone.GetUtcOffset(local);
        return new DateTimeOffset(local, offset).ToUniversalTime();
    }
}
