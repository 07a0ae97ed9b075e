using System.Globalization;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Tests.Conditions;

public sealed class SunPositionTests
{
    // NREL/TP-560-34302 (I. Reda, A. Andreas: Solar Position Algorithm, rev. January 2008), appendix A.5: 2003-10-17 12:30:30 at UTC-7, zenith 50.11162
    // degrees with 0.01633 degrees of refraction, azimuth 194.34024 degrees. Without refraction the elevation is 39.87205 degrees; the test table of the
    // library pvlib (tests/test_solarposition.py, expected_solpos) states it as 39.872046.
    private static readonly Coordinates s_golden = new(39.742476, -105.1786);

    [Fact]
    public void Worked_example_of_the_solar_position_algorithm_is_met()
    {
        var sun = SunPosition.At(s_golden, new DateTimeOffset(2003, 10, 17, 12, 30, 30, TimeSpan.FromHours(-7)));
        Assert.Equal(39.872046, sun.ElevationDegrees, 0.01);
        Assert.Equal(90 - 50.11162, sun.ElevationDegrees + 0.01633, 0.01);
        Assert.Equal(194.34024, sun.AzimuthDegrees, 0.01);
    }

    [Fact]
    public void Sunrise_and_sunset_of_the_worked_example_are_met()
    {
        // The same appendix: sunrise 06:12:43, sunset 17:20:19 local, where the middle of the sun is 0.8333 degrees below the horizon. Both are of
        // the UT day 2003-10-17, so the sunset is that of the local evening before (PyEphem 4.1.4 says 2003-10-17 00:20:18 UT).
        var horizon = new Darkness(s_golden, -0.8333);
        var day = new DateTimeOffset(2003, 10, 17, 0, 0, 0, TimeSpan.Zero);
        var set = horizon.FirstDark(day, day.AddDays(1))!.Value;
        var rise = horizon.FirstLight(set, day.AddDays(1))!.Value;
        Assert.InRange((set - (day + new TimeSpan(0, 20, 19))).TotalSeconds, -10, 10);
        Assert.InRange((rise - (day + new TimeSpan(13, 12, 43))).TotalSeconds, -10, 10);
    }

    [Theory]
    // Computed with the library PyEphem 4.1.4 (XEphem's own theory of the sun), air pressure 0: elevation and azimuth in degrees.
    [InlineData(57.0512, -7.9436, "2026-06-21T00:30:00Z", -9.5102, 359.1891)]
    [InlineData(57.0512, -7.9436, "2026-12-21T12:30:00Z", 9.5094, 180.0349)]
    [InlineData(-33.8568, 151.2153, "2026-03-20T20:00:00Z", -0.5649, 90.2733)]
    [InlineData(0.0, 0.0, "2024-02-29T18:00:00Z", 3.0572, 262.4114)]
    [InlineData(78.2232, 15.6267, "2026-12-21T11:00:00Z", -11.6645, 181.0451)]
    [InlineData(78.2232, 15.6267, "2026-06-21T23:00:00Z", 11.6575, 0.1381)]
    [InlineData(-77.85, 166.67, "2026-09-22T06:00:00Z", 2.1226, 281.3422)]
    [InlineData(21.31, -157.86, "2030-10-31T03:15:00Z", 8.3709, 251.2437)]
    [InlineData(69.6492, 18.9553, "2050-01-15T11:00:00Z", -0.6964, 181.5035)]
    public void An_independent_ephemeris_is_met_to_a_hundredth_of_a_degree(
        double latitude, double longitude, string at, double elevation, double azimuth)
    {
        var sun = SunPosition.At(new Coordinates(latitude, longitude), DateTimeOffset.Parse(at, CultureInfo.InvariantCulture));
        Assert.Equal(elevation, sun.ElevationDegrees, 0.012);
        Assert.Equal(azimuth, sun.AzimuthDegrees, 0.012);
    }

    [Fact]
    public void The_sun_never_moves_faster_than_the_search_for_dusk_allows()
    {
        var random = new Random(20_261_125);
        var start = new DateTimeOffset(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);
        for (var i = 0; i < 20_000; i++)
        {
            var place = new Coordinates((random.NextDouble() * 180) - 90, (random.NextDouble() * 360) - 180);
            var at = start.AddSeconds(random.NextDouble() * 365 * 86_400);
            var moved = Math.Abs(SunPosition.At(place, at.AddMinutes(1)).ElevationDegrees - SunPosition.At(place, at).ElevationDegrees);
            Assert.True(moved <= SunPosition.DegreesPerHourMax / 60, $"{moved * 60} degrees an hour at {place} on {at:O}");
        }
    }
}
