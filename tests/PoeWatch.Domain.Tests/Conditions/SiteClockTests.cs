using System.Globalization;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Tests.Conditions;

/// <summary>Days on which London's clock changes: 2026-03-29 (01:00 to 02:00) and 2026-10-25 (02:00 to 01:00), by the IANA time zone database.</summary>
public sealed class SiteClockTests
{
    private static readonly SiteClock s_london = new("Europe/London");

    [Theory]
    [InlineData("2026-03-29T00:00:00Z", 23)]
    [InlineData("2026-10-24T23:00:00Z", 25)]
    [InlineData("2026-11-25T00:00:00Z", 24)]
    public void A_day_has_as_many_hours_as_the_clock_gives_it(string midnight, int hours)
    {
        var day = s_london.RestOfDay(Time(midnight));
        Assert.Equal(TimeSpan.FromHours(hours), day.To - day.From);
    }

    [Theory]
    [InlineData("2026-03-29T00:00:00Z", "2026-03-29T06:00:00Z", "2026-03-29T17:00:00Z")]
    [InlineData("2026-10-24T23:00:00Z", "2026-10-25T07:00:00Z", "2026-10-25T18:00:00Z")]
    public void Hours_are_read_on_the_wall_on_the_day_of_the_change(string midnight, string from, string to)
    {
        var window = new DailyWindow(new TimeOnly(7, 0), new TimeOnly(18, 0));
        Assert.Equal([new UtcSpan(Time(from), Time(to))], s_london.Within(s_london.RestOfDay(Time(midnight)), window));
    }

    [Fact]
    public void An_hour_that_comes_twice_counts_twice_and_one_that_is_skipped_not_at_all()
    {
        var window = new DailyWindow(new TimeOnly(1, 0), new TimeOnly(2, 0));
        var autumn = Assert.Single(s_london.Within(s_london.RestOfDay(Time("2026-10-24T23:00:00Z")), window));
        Assert.Equal(TimeSpan.FromHours(2), autumn.To - autumn.From);
        Assert.Empty(s_london.Within(s_london.RestOfDay(Time("2026-03-29T00:00:00Z")), window));
    }

    [Fact]
    public void Hours_over_midnight_are_two_stretches_of_a_day()
    {
        var night = new DailyWindow(new TimeOnly(17, 0), new TimeOnly(8, 0));
        Assert.Equal(
            [new UtcSpan(Time("2026-11-25T06:30:00Z"), Time("2026-11-25T08:00:00Z")), new UtcSpan(Time("2026-11-25T17:00:00Z"), Time("2026-11-26T00:00:00Z"))],
            s_london.Within(s_london.RestOfDay(Time("2026-11-25T06:30:00Z")), night));
    }

    [Fact]
    public void Within_agrees_with_the_wall_clock_at_every_minute_of_a_year()
    {
        // A plain look at the wall clock minute by minute, over both changes of the year.
        foreach (var window in new[] { new DailyWindow(new(1, 15), new(2, 30)), new DailyWindow(new(22, 0), new(1, 30)), new DailyWindow(new(0, 0), new(0, 0)) })
        {
            for (var day = new DateOnly(2026, 3, 26); day < new DateOnly(2026, 11, 1); day = day.AddDays(1))
            {
                var rest = s_london.RestOfDay(TimeZoneInfo.ConvertTimeToUtc(day.ToDateTime(default), SiteClock.ZoneOf("Europe/London")));
                var spans = s_london.Within(rest, window).ToList();
                for (var at = rest.From; at < rest.To; at = at.AddMinutes(5))
                {
                    var seen = window.Contains(TimeOnly.FromDateTime(s_london.LocalTime(at)));
                    // In the hour that comes twice a window may reach over the second pass: in doubt a case can come.
                    Assert.True(!seen || spans.Any(s => at >= s.From && at < s.To), $"{window} at {at:O}");
                }
            }
        }
    }

    [Fact]
    public void The_season_ends_with_the_next_month()
    {
        Assert.Equal(Time("2027-01-31T00:00:00Z").AddDays(1), s_london.RestOfSeason(Time("2026-12-31T23:30:00Z")).To);
        Assert.Equal(Time("2026-04-30T23:00:00Z"), s_london.RestOfSeason(Time("2026-03-01T00:00:00Z")).To);
    }

    private static DateTimeOffset Time(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);
}
