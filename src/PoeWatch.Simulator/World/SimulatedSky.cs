using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.World;

/// <summary>How the sun's time runs in the simulated world.</summary>
/// <param name="Speed">Simulated time over real time, 1 by default: 288 lets a day pass in five minutes. Agents and faults stay on real time.</param>
/// <param name="Offset">Added to the clock at the start: lets a world begin at night or in winter.</param>
public sealed record SkyClock(double Speed = 1, TimeSpan Offset = default)
{
    /// <summary>The time of day and year over the site, for a real time since a start.</summary>
    public DateTimeOffset At(DateTimeOffset start, DateTimeOffset now) => start + Offset + ((now - start) * Speed);
}

/// <summary>Day, night, season and air temperature over the site. Pure functions of seed and time; thread safe.</summary>
/// <remarks>
/// Figures of a cool sea coast, common practice, no source: 9 C in the mean, 9 C up and down over the year (coldest in late
/// January), 3 C over the day, and weather of up to 4 C on top. Night is from 19:00 to 07:00 in the site's own time.
/// </remarks>
internal sealed class SimulatedSky(Chance chance, TimeZoneInfo zone)
{
    private static readonly TimeSpan WeatherPeriod = TimeSpan.FromHours(30);
    private static readonly DailyWindow Night = new(new TimeOnly(19, 0), new TimeOnly(7, 0));

    /// <summary>The site's zone, or UTC where this machine does not know it.</summary>
    public static TimeZoneInfo ZoneOf(Site site) =>
        TimeZoneInfo.TryFindSystemTimeZoneById(site.TimeZoneId, out var zone) ? zone : TimeZoneInfo.Utc;

    public DateTime LocalTime(DateTimeOffset sky) => TimeZoneInfo.ConvertTime(sky, zone).DateTime;

    public static bool IsNight(DateTime local) => Night.Contains(TimeOnly.FromDateTime(local));

    public Temperature Air(DateTimeOffset sky)
    {
        var local = LocalTime(sky);
        var season = -Math.Cos(2 * Math.PI * (local.DayOfYear - 25) / 365.25);
        var day = -Math.Cos(2 * Math.PI * (local.TimeOfDay.TotalHours - 3) / 24);
        return Temperature.FromCelsius(9 + (9 * season) + (3 * day) + (4 * chance.Swing("weather", sky, WeatherPeriod)));
    }

    /// <summary>How much of the heaters runs: none at +5 C and above, all of it at -10 C and below.</summary>
    public static double HeaterShare(Temperature air) => Math.Clamp((5 - air.Celsius) / 15, 0, 1);
}
