using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Conditions;

/// <summary>
/// When it is dark at a place: the sun stands below an elevation. Polar day and polar night come out as what they are, because the sun is followed and
/// nothing is taken from a formula of sunrise. UTC throughout. Pure and thread safe.
/// </summary>
/// <param name="Place">Where.</param>
/// <param name="BelowDegrees">Dark below this elevation of the sun, -18..5; -6 is the end of civil twilight.</param>
public sealed record Darkness(Coordinates Place, double BelowDegrees)
{
    // A change is found to the second. A night shorter than that is no night.
    private static readonly TimeSpan Finest = TimeSpan.FromSeconds(1);

    // The sun's declination changes by 0.4 degrees a day at most: a step of a quarter of a day is off by less than this.
    private const double SeasonMarginDegrees = 0.1;

    private static readonly TimeSpan SeasonStep = TimeSpan.FromHours(6);

    public bool IsDark(DateTimeOffset at) => SunPosition.At(Place, at).ElevationDegrees < BelowDegrees;

    /// <summary>The first dark moment in [from, to); null where the sun stays up throughout.</summary>
    public DateTimeOffset? FirstDark(DateTimeOffset from, DateTimeOffset to) => First(from, to, isDark: true);

    /// <summary>The first moment in [from, to) that is not dark; null where there is none.</summary>
    public DateTimeOffset? FirstLight(DateTimeOffset from, DateTimeOffset to) => First(from, to, isDark: false);

    /// <summary>Whether it can get dark in [from, to), to the nearest day: for spans of weeks and months. In doubt it can.</summary>
    public bool CanBeDarkWithin(DateTimeOffset from, DateTimeOffset to)
    {
        for (var at = from; at < to + SeasonStep; at += SeasonStep)
        {
            if (SunPosition.LowestElevationDegrees(Place.LatitudeDegrees, at) < BelowDegrees + SeasonMarginDegrees)
            {
                return true;
            }
        }

        return false;
    }

    // The sun moves no faster than 15.1 degrees an hour, so a step of what it needs to get there can overlook nothing.
    private DateTimeOffset? First(DateTimeOffset from, DateTimeOffset to, bool isDark)
    {
        for (var at = from; at < to;)
        {
            var above = SunPosition.At(Place, at).ElevationDegrees - BelowDegrees;
            if (above < 0 == isDark)
            {
                return at;
            }

            var step = TimeSpan.FromHours(Math.Abs(above) / SunPosition.DegreesPerHourMax);
            at += step > Finest ? step : Finest;
        }

        return null;
    }
}
