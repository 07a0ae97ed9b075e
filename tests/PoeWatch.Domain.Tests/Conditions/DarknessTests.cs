using System.Globalization;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Tests.Conditions;

public sealed class DarknessTests
{
    private const double CivilTwilight = -6;

    private static readonly Coordinates s_svalbard = new(78.2232, 15.6267);

    [Theory]
    // Dusk and dawn of civil twilight by the library PyEphem 4.1.4 (horizon -6 degrees, middle of the sun, air pressure 0), in UTC.
    [InlineData(57.0512, -7.9436, "2026-11-25T12:00:00Z", "2026-11-25T16:49:03Z", "2026-11-26T07:49:38Z")]
    [InlineData(57.0512, -7.9436, "2026-06-20T12:00:00Z", "2026-06-20T22:39:12Z", "2026-06-21T02:27:46Z")]
    [InlineData(57.0512, -7.9436, "2026-03-29T12:00:00Z", "2026-03-29T19:43:51Z", "2026-03-30T05:27:49Z")]
    [InlineData(51.5074, -0.1278, "2026-10-25T12:00:00Z", "2026-10-25T17:21:11Z", "2026-10-26T06:08:49Z")]
    [InlineData(-33.8568, 151.2153, "2026-01-15T02:00:00Z", "2026-01-15T09:37:12Z", "2026-01-15T18:32:10Z")]
    [InlineData(60.1699, 24.9384, "2026-06-21T09:00:00Z", "2026-06-21T21:42:21Z", "2026-06-21T23:01:59Z")]
    [InlineData(69.6492, 18.9553, "2026-12-21T11:00:00Z", "2026-12-21T12:53:10Z", "2026-12-22T08:31:45Z")]
    [InlineData(0.0, 0.0, "2026-09-23T12:00:00Z", "2026-09-23T18:16:16Z", "2026-09-24T05:28:08Z")]
    public void Dusk_and_dawn_of_an_independent_ephemeris_are_met(double latitude, double longitude, string from, string dusk, string dawn)
    {
        var darkness = new Darkness(new Coordinates(latitude, longitude), CivilTwilight);
        var start = Time(from);
        var found = darkness.FirstDark(start, start.AddDays(1))!.Value;
        // A hundredth of a degree is a few seconds where the sun sinks steeply, half a minute where it skims the border (Helsinki in June).
        Assert.InRange((found - Time(dusk)).TotalSeconds, -30, 30);
        Assert.InRange((darkness.FirstLight(found, start.AddDays(1))!.Value - Time(dawn)).TotalSeconds, -30, 30);
    }

    [Fact]
    public void Polar_day_has_no_dark_moment_and_polar_night_no_light_one()
    {
        // PyEphem says AlwaysUp and NeverUp for these two days.
        var darkness = new Darkness(s_svalbard, CivilTwilight);
        var (summer, winter) = (Time("2026-06-21T12:00:00Z"), Time("2026-12-21T12:00:00Z"));
        Assert.Null(darkness.FirstDark(summer, summer.AddDays(1)));
        Assert.False(darkness.CanBeDarkWithin(summer, summer.AddDays(30)));
        Assert.Null(darkness.FirstLight(winter, winter.AddDays(1)));
        Assert.True(darkness.IsDark(winter));
    }

    [Fact]
    public void A_season_that_ends_in_dark_nights_can_be_dark_though_it_begins_in_polar_day()
    {
        var darkness = new Darkness(s_svalbard, CivilTwilight);
        Assert.False(darkness.CanBeDarkWithin(Time("2026-07-01T00:00:00Z"), Time("2026-09-01T00:00:00Z")));
        Assert.True(darkness.CanBeDarkWithin(Time("2026-08-15T00:00:00Z"), Time("2026-10-01T00:00:00Z")));
    }

    [Theory]
    [InlineData(90)]
    [InlineData(-90)]
    [InlineData(66.5)]
    public void Nothing_dark_is_overlooked_however_the_sun_skims(double latitude)
    {
        // Held against a plain look at every minute of two months about an equinox and a solstice.
        foreach (var from in new[] { Time("2026-02-20T00:00:00Z"), Time("2026-05-21T00:00:00Z") })
        {
            var darkness = new Darkness(new Coordinates(latitude, 10), CivilTwilight);
            for (var day = from; day < from.AddDays(61); day = day.AddDays(1))
            {
                var seen = Enumerable.Range(0, 1440).Select(minute => day.AddMinutes(minute)).Any(darkness.IsDark);
                Assert.True(!seen || darkness.FirstDark(day, day.AddDays(1)) is not null, $"{day:O}");
                Assert.True(!seen || darkness.CanBeDarkWithin(day, day.AddDays(1)), $"{day:O}");
            }
        }
    }

    private static DateTimeOffset Time(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);
}
