using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Assessment;

/// <summary>Which load cases may be in force, can still come today and this season. The harbour lies at 57 degrees north; dusk 16:49, dawn 07:49 on 25 November (PyEphem 4.1.4).</summary>
public sealed class LoadCaseCalendarTests
{
    private static readonly Coordinates s_harbour = new(57.0512, -7.9436);
    private static readonly LoadCase s_day = new("day", "day", null, []);
    private static readonly LoadCase s_night = Case("night", LoadCondition.Dark);
    private static readonly LoadCase s_frost = Case("frost", LoadCondition.Dark, LoadCondition.Cold);
    private static readonly LoadCase s_paging = Case("paging", LoadCondition.PagingAll);

    // Coldest of a cool sea coast month by month, made up for the test.
    private static readonly SiteClimate s_climate = new(
        [.. new double[] { -8, -8, -6, -2, 1, 5, 8, 8, 6, 2, -3, -7 }.Select(Celsius)], [.. Enumerable.Repeat(Celsius(20), 12)]);

    [Fact]
    public void What_nobody_knows_can_be()
    {
        var outlook = At("2026-07-01T12:00:00Z", Nowhere(s_frost, s_paging, Case("wet", LoadCondition.Wet, LoadCondition.Motion)));
        Assert.All(outlook.Cases, c => Assert.True(c.Now.MayCome && c.Today.MayCome && c.Season.MayCome));
    }

    [Fact]
    public void By_day_the_night_is_not_in_force_and_can_still_come()
    {
        var outlook = At("2026-11-25T12:00:00Z", Harbour(s_day, s_night));
        Assert.Equal([0], outlook.InForce);
        Assert.Equal([0, 1], outlook.Today);
        Assert.Equal(CaseChance.Without(LoadCondition.Dark), outlook.Cases[1].Now);
    }

    [Fact]
    public void After_dusk_the_night_is_in_force()
    {
        Assert.Equal([0, 1], At("2026-11-25T16:50:00Z", Harbour(s_day, s_night)).InForce);
        Assert.Equal([0], At("2026-11-25T16:48:00Z", Harbour(s_day, s_night)).InForce);
    }

    [Fact]
    public void On_a_bright_summer_day_whose_night_begins_after_midnight_the_dark_cannot_come_today()
    {
        // Helsinki on summer time, 2026-06-21: civil dusk is at 21:42 UTC, which is 00:42 of the next day there.
        var site = new Site("north", "Europe/Helsinki", new Coordinates(60.1699, 24.9384));
        var calendar = new LoadCaseCalendar([s_day, s_night], site, ConditionPlan.Nothing, ConditionPlan.ColdBelowDefault);
        var outlook = At("2026-06-21T09:00:00Z", (calendar, site, ConditionPlan.Nothing));
        Assert.Equal([0], outlook.Today);
        Assert.Equal([0, 1], outlook.Season);
        Assert.Equal(CaseChance.Without(LoadCondition.Dark), outlook.Cases[1].Today);
    }

    [Fact]
    public void In_polar_day_the_dark_does_not_come_all_season()
    {
        var svalbard = With(new Coordinates(78.2232, 15.6267), ConditionPlan.Nothing, s_day, s_night);
        Assert.Equal([0], At("2026-06-01T12:00:00Z", svalbard).Season);
        Assert.Equal([0, 1], At("2026-08-15T12:00:00Z", svalbard).Season);
        Assert.Equal([0, 1], At("2026-12-21T12:00:00Z", svalbard).InForce);
    }

    [Fact]
    public void Dark_within_hours_that_are_light_cannot_come_today()
    {
        var noon = s_night with { Window = new DailyWindow(new TimeOnly(11, 0), new TimeOnly(13, 0)) };
        var outlook = At("2026-11-25T06:00:00Z", Harbour(s_day, noon));
        Assert.Equal([0], outlook.Today);
        Assert.Equal(CaseChance.Without(LoadCondition.Dark), outlook.Cases[1].Today);
    }

    [Fact]
    public void Hours_that_are_over_do_not_come_again_today()
    {
        var morning = s_day with { Id = "morning", Window = new DailyWindow(new TimeOnly(6, 0), new TimeOnly(9, 0)) };
        var outlook = At("2026-11-25T12:00:00Z", Harbour(s_day, morning));
        Assert.Equal([0], outlook.Today);
        Assert.Equal([0, 1], outlook.Season);
        Assert.Equal(CaseHindrance.Hours, outlook.Cases[1].Today.Hindrance);
    }

    [Fact]
    public void A_wet_case_comes_in_wet_months_and_where_somebody_says_that_it_rains()
    {
        var wet = Case("wet", LoadCondition.Wet);
        var coast = With(s_harbour, ConditionPlan.Nothing with { WetMonths = [9, 10] }, s_day, wet);
        Assert.Equal([0], At("2026-07-31T12:00:00Z", coast).Season);
        Assert.Equal(CaseChance.Without(LoadCondition.Wet), At("2026-07-31T12:00:00Z", coast).Cases[1].Now);
        Assert.Equal([0], At("2026-08-01T12:00:00Z", coast).Today);
        Assert.Equal([0, 1], At("2026-08-01T12:00:00Z", coast).Season);
        Assert.Equal([0, 1], At("2026-09-01T00:00:00Z", coast).InForce);
        var rains = At("2026-07-31T12:00:00Z", coast, Said("wet", holds: true, until: "2026-07-31T14:00:00Z"));
        Assert.Equal([0, 1], rains.InForce);
    }

    [Fact]
    public void Months_count_up_to_the_end_of_the_next()
    {
        var winter = s_frost with { Months = [12, 1] };
        Assert.Equal([0], At("2026-10-31T23:00:00Z", Harbour(s_day, winter)).Season);
        Assert.Equal([0, 1], At("2026-11-01T00:00:00Z", Harbour(s_day, winter)).Season);
        Assert.Equal(CaseHindrance.Months, At("2026-11-01T00:00:00Z", Harbour(s_day, winter)).Cases[1].Today.Hindrance);
    }

    [Fact]
    public void A_summer_that_never_gets_cold_has_no_heaters()
    {
        var outlook = At("2026-07-01T23:30:00Z", WithClimate(s_day, s_frost));
        Assert.Equal([0], outlook.Season);
        Assert.Equal(CaseChance.Without(LoadCondition.Cold), outlook.Cases[1].Season);
        Assert.Equal([0, 1], At("2026-09-15T12:00:00Z", WithClimate(s_day, s_frost)).Season);
    }

    [Fact]
    public void Mild_now_the_cold_can_still_come_today_by_the_climate()
    {
        var mild = Said("temperature", celsius: 9, until: "2026-11-25T13:00:00Z");
        var outlook = At("2026-11-25T12:00:00Z", WithClimate(s_day, s_frost with { Conditions = [LoadCondition.Cold] }), mild);
        Assert.Equal([0], outlook.InForce);
        Assert.Equal([0, 1], outlook.Today);
        Assert.Equal(CaseChance.Without(LoadCondition.Cold), outlook.Cases[1].Now);
    }

    [Fact]
    public void Colder_than_the_climate_says_counts_as_it_is()
    {
        var freak = Said("temperature", celsius: 3, until: "2026-07-02T06:00:00Z");
        Assert.Equal([0, 1], At("2026-07-01T23:50:00Z", WithClimate(s_day, Case("frost", LoadCondition.Cold)), freak).InForce);
    }

    [Fact]
    public void Of_cases_that_differ_in_temperature_alone_those_beyond_the_coldest_do_not_come()
    {
        LoadCase[] cold = [Air("mild", 8), Air("frost", -9), Air("arctic", -25)];
        var outlook = At("2026-12-01T00:00:00Z", WithClimate(cold));
        // The coldest of December and January is -8 C: the case for -9 C is as cold as that, the one for -25 C never counts.
        Assert.Equal([0, 1], outlook.Season);
        Assert.Equal(CaseHindrance.MilderCase, outlook.Cases[2].Season.Hindrance);
    }

    [Fact]
    public void The_only_cold_case_counts_although_it_is_colder_than_it_ever_gets()
    {
        // At -8 C the heaters of a case for -25 C run as well: without it nobody would reckon with any heater.
        Assert.Equal([0, 1], At("2026-12-01T00:00:00Z", WithClimate(s_day, Air("arctic", -25))).Season);
    }

    [Fact]
    public void What_is_posted_not_to_be_does_not_come_until_its_end()
    {
        var calm = Said("paging-all", holds: false, until: "2026-11-25T18:00:00Z");
        var outlook = At("2026-11-25T12:00:00Z", Harbour(s_day, s_paging), calm);
        Assert.Equal([0], outlook.InForce);
        Assert.Equal([0, 1], outlook.Today);
        var all = calm with { Until = Time("2026-11-26T00:00:00Z") };
        Assert.Equal([0], At("2026-11-25T12:00:00Z", Harbour(s_day, s_paging), all).Today);
    }

    [Fact]
    public void What_is_ruled_out_until_dawn_takes_the_night_away()
    {
        // No motion until 07:55; from then on it is light: darkness and motion cannot coincide before the evening.
        var both = Case("walkers", LoadCondition.Dark, LoadCondition.Motion) with { Window = new DailyWindow(new TimeOnly(0, 0), new TimeOnly(12, 0)) };
        var still = Said("motion", holds: false, until: "2026-11-25T07:55:00Z");
        Assert.Equal([0], At("2026-11-25T02:00:00Z", Harbour(s_day, both), still).Today);
        Assert.Equal([0, 1], At("2026-11-25T02:00:00Z", Harbour(s_day, both), still with { Until = Time("2026-11-25T07:40:00Z") }).Today);
    }

    [Fact]
    public void Where_no_case_may_be_in_force_all_that_can_come_count()
    {
        var outlook = At("2026-11-25T12:00:00Z", Harbour(s_night, s_frost));
        Assert.Equal([0, 1], outlook.InForce);
        Assert.All(outlook.Cases, c => Assert.False(c.Now.MayCome));
    }

    [Fact]
    public void Now_is_part_of_today_and_today_part_of_the_season_at_every_hour_of_a_year()
    {
        var random = new Random(7);
        var conditions = ConditionNames.All;
        for (var hour = 0; hour < 8760; hour += 7)
        {
            var now = Time("2026-01-01T00:00:00Z").AddHours(hour);
            LoadCase[] cases = [.. Enumerable.Range(0, 6).Select(i => new LoadCase(
                $"c{i}", "", random.Next(2) == 0 ? null : new DailyWindow(new TimeOnly(random.Next(24), 0), new TimeOnly(random.Next(24), 0)),
                random.Next(2) == 0 ? [] : [random.Next(1, 13), random.Next(1, 13)])
            {
                Conditions = [.. conditions.Where(_ => random.Next(4) == 0)],
                Ambient = random.Next(3) == 0 ? Celsius(random.Next(-20, 20)) : null,
            })];
            var word = Said(ConditionNames.Topics[random.Next(8)], holds: random.Next(2) == 0) with { Until = now.AddHours(random.Next(1, 1000)) };
            var outlook = At($"{now:O}", WithClimate(cases), word);
            Assert.Subset(outlook.Today.ToHashSet(), outlook.InForce.Where(i => outlook.Cases[i].Now.MayCome).ToHashSet());
            Assert.Subset(outlook.Season.ToHashSet(), outlook.Today.ToHashSet());
        }
    }

    private static (LoadCaseCalendar Calendar, Site Site, ConditionPlan Plan) Harbour(params LoadCase[] cases) => With(s_harbour, ConditionPlan.Nothing, cases);

    private static (LoadCaseCalendar Calendar, Site Site, ConditionPlan Plan) Nowhere(params LoadCase[] cases) => With(null, ConditionPlan.Nothing, cases);

    private static (LoadCaseCalendar Calendar, Site Site, ConditionPlan Plan) WithClimate(params LoadCase[] cases) =>
        With(s_harbour, ConditionPlan.Nothing with { Climate = s_climate }, cases);

    private static (LoadCaseCalendar Calendar, Site Site, ConditionPlan Plan) With(Coordinates? place, ConditionPlan plan, params LoadCase[] cases)
    {
        var site = new Site("Skerry Haven", "UTC", place);
        return (new LoadCaseCalendar([.. cases], site, plan, ConditionPlan.ColdBelowDefault), site, plan);
    }

    private static LoadCaseOutlook At(string now, (LoadCaseCalendar Calendar, Site Site, ConditionPlan Plan) at, params PostedCondition[] posted) =>
        at.Calendar.At(Time(now), ConditionReckoner.Reckon(at.Site, at.Plan, ConditionPlan.ColdBelowDefault, Time(now), posted, []));

    private static PostedCondition Said(string topic, bool? holds = null, double? celsius = null, string until = "2026-11-25T18:00:00Z") => new(
        topic, Time("2026-01-01T00:00:00Z"), "nora", holds, celsius is { } c ? Celsius(c) : null, Time(until), "");

    private static LoadCase Case(string id, params LoadCondition[] conditions) => new(id, id, null, []) { Conditions = [.. conditions] };

    private static LoadCase Air(string id, double celsius) => Case(id) with { Ambient = Celsius(celsius) };

    private static Temperature Celsius(double value) => Temperature.FromCelsius(value);

    private static DateTimeOffset Time(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);
}
