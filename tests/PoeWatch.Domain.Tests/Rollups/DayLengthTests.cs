using System.Globalization;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Rollups;
using static PoeWatch.Domain.Tests.Rollups.Polls;

namespace PoeWatch.Domain.Tests.Rollups;

/// <summary>
/// Days at the site. Europe changes its clocks at 01:00 UTC on the last Sundays of March and October (Directive 2000/84/EC, articles 2 and 3): in 2026 on 29
/// March and 25 October. 92, 96 and 100 quarter-hours follow from 23, 24 and 25 hours.
/// </summary>
public sealed class DayLengthTests
{
    [Theory]
    [InlineData("Europe/Berlin", "2026-03-28", 96, "2026-03-27T23:00:00Z")]
    [InlineData("Europe/Berlin", "2026-03-29", 92, "2026-03-28T23:00:00Z")]
    [InlineData("Europe/Berlin", "2026-10-25", 100, "2026-10-24T22:00:00Z")]
    [InlineData("Europe/London", "2026-03-29", 92, "2026-03-29T00:00:00Z")]
    [InlineData("Europe/London", "2026-10-25", 100, "2026-10-24T23:00:00Z")]
    [InlineData("Europe/Helsinki", "2026-03-29", 92, "2026-03-28T22:00:00Z")]
    [InlineData("Europe/Lisbon", "2026-10-25", 100, "2026-10-24T23:00:00Z")]
    [InlineData("Atlantic/Azores", "2026-03-29", 92, "2026-03-29T01:00:00Z")]
    [InlineData("UTC", "2026-03-29", 96, "2026-03-29T00:00:00Z")]
    [InlineData("Asia/Kolkata", "2026-03-29", 96, "2026-03-28T18:30:00Z")]
    public void A_day_has_its_quarter_hours(string zone, string date, int quarters, string starts)
    {
        var day = LocalDay.Of(DateOnly.ParseExact(date, "yyyy-MM-dd", CultureInfo.InvariantCulture), TimeZoneInfo.FindSystemTimeZoneById(zone));
        var bounds = RollupStep.QuarterHour.Bounds(day.Start, day.End);
        Assert.Equal(quarters, bounds.Length - 1);
        Assert.Equal(DateTimeOffset.Parse(starts, CultureInfo.InvariantCulture), day.Start);
        Assert.Equal(quarters / 4, RollupStep.Hour.Bounds(day.Start, day.End).Length - 1);
        Assert.Equal([day.Start, day.End], RollupStep.Day.Bounds(day.Start, day.End));
    }

    // 24 W all day: 23, 24 and 25 hours of it, by hand.
    [Theory]
    [InlineData("2026-03-29", 552)]
    [InlineData("2026-03-14", 576)]
    [InlineData("2026-10-25", 600)]
    public void A_steady_draw_has_the_energy_of_the_hours_that_the_day_has(string date, double wattHours)
    {
        var day = LocalDay.Of(DateOnly.ParseExact(date, "yyyy-MM-dd", CultureInfo.InvariantCulture), TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin"));
        var first = (day.Start - Start).TotalMinutes;
        var samples = Enumerable.Range(-2, 1505).Select(m => (first + m, Measured(24))).ToArray();
        var whole = Assert.Single(Rolled(samples, RollupStep.Day.Bounds(day.Start, day.End)));
        Assert.Equal((wattHours, 1.0), (Math.Round(whole.EnergyWattHours, 9), whole.Coverage));
        Assert.Equal(wattHours, Rolled(samples, RollupStep.QuarterHour.Bounds(day.Start, day.End)).Sum(q => q.EnergyWattHours), 9);
    }

    [Theory]
    [InlineData("Europe/Berlin")]
    [InlineData("America/Santiago")] // midnight does not exist on a day of September
    [InlineData("America/Havana")] // midnight comes twice on a day of November
    [InlineData("Australia/Lord_Howe")] // half an hour
    [InlineData("Asia/Kathmandu")] // three quarters of an hour off
    public void Every_quarter_hour_of_a_year_is_in_exactly_one_day(string zoneId)
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById(zoneId);
        var moment = new DateTimeOffset(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);
        var day = LocalDay.Holding(moment, zone);
        for (; moment.Year == 2026; moment += RollupSteps.QuarterHour)
        {
            var now = LocalDay.Holding(moment, zone);
            Assert.True(now.Start <= moment && moment < now.End, $"{moment:O}");
            Assert.True(now == day || now.Start == day.End, $"{moment:O}");
            day = now;
        }
    }
}
