namespace PoeWatch.Domain.Rollups;

/// <summary>How long the intervals of a rollup are.</summary>
public enum RollupStep
{
    Unknown = 0,
    QuarterHour = 1,
    Hour = 2,

    /// <summary>A day of the calendar at the site: 23, 24 or 25 hours.</summary>
    Day = 3,
}

/// <summary>What each <see cref="RollupStep"/> is. Pure and thread safe.</summary>
public static class RollupSteps
{
    public static TimeSpan QuarterHour { get; } = TimeSpan.FromMinutes(15);

    /// <summary>The name in API, exports and screens.</summary>
    public static string Name(this RollupStep step) => step switch
    {
        RollupStep.QuarterHour => "quarter-hour",
        RollupStep.Hour => "hour",
        RollupStep.Day => "day",
        _ => "unknown",
    };

    /// <summary>
    /// The bounds of the intervals of a window [start, end), both ends included. Quarter-hours and hours are counted from the window's first moment and the
    /// last one may be shorter; a window is one day or a part of one, so a day is one interval.
    /// </summary>
    public static DateTimeOffset[] Bounds(this RollupStep step, DateTimeOffset start, DateTimeOffset end)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(end, start);
        return step switch
        {
            RollupStep.QuarterHour => Every(QuarterHour, start, end),
            RollupStep.Hour => Every(TimeSpan.FromHours(1), start, end),
            RollupStep.Day => [start, end],
            _ => throw new ArgumentOutOfRangeException(nameof(step), step, "Say quarter-hour, hour or day."),
        };
    }

    /// <summary>Bounds of equal intervals from <paramref name="start"/>; the last one may be shorter.</summary>
    public static DateTimeOffset[] Every(TimeSpan length, DateTimeOffset start, DateTimeOffset end)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(length, TimeSpan.Zero);
        var count = (int)Math.Ceiling((end - start) / length);
        var bounds = new DateTimeOffset[count + 1];
        for (var i = 0; i < count; i++)
        {
            bounds[i] = start + (length * i);
        }

        bounds[count] = end;
        return bounds;
    }
}
