using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Conditions;

public sealed class ConditionReckonerTests
{
    private static readonly Coordinates s_harbour = new(57.0512, -7.9436);
    private static readonly DateTimeOffset s_evening = Time("2026-11-25T18:00:00Z");
    private static readonly Thermometer s_air = new("quay-air", "quay-west", 101, null, null);
    private static readonly Thermometer s_cabinet = new("cabinet-west", "quay-west", 102, null, "quay-west");

    [Fact]
    public void What_nobody_knows_is_unknown_and_says_so()
    {
        var known = ConditionReckoner.Reckon(Design(ConditionPlan.Nothing, null), s_evening, [], []);
        Assert.All(known.ByCondition.Values, now => Assert.Equal((ConditionState.Unknown, ConditionOrigin.Unknown), (now.State, now.Source.Origin)));
        Assert.Equal(ConditionNames.All, known.ByCondition.Keys.Order());
        Assert.Null(known.Air.Shown);
    }

    [Fact]
    public void The_sun_says_whether_it_is_dark_and_until_when()
    {
        // Dusk 16:49:03, dawn 07:49:38 by PyEphem 4.1.4, see DarknessTests.
        var dark = Reckon(ConditionPlan.Nothing).ByCondition[LoadCondition.Dark];
        Assert.Equal((ConditionState.Holds, ConditionOrigin.Sun), (dark.State, dark.Source.Origin));
        Assert.InRange((dark.Source.Until!.Value - Time("2026-11-26T07:49:38Z")).TotalSeconds, -30, 30);
        var light = ConditionReckoner.Reckon(Design(ConditionPlan.Nothing), Time("2026-11-25T12:00:00Z"), [], []).ByCondition[LoadCondition.Dark];
        Assert.Equal(ConditionState.DoesNotHold, light.State);
        Assert.InRange((light.Source.Until!.Value - Time("2026-11-25T16:49:03Z")).TotalSeconds, -30, 30);
    }

    [Fact]
    public void A_polar_night_has_no_end_within_a_day()
    {
        var design = Design(ConditionPlan.Nothing, new Coordinates(78.2232, 15.6267));
        var dark = ConditionReckoner.Reckon(design, Time("2026-12-21T11:00:00Z"), [], []).ByCondition[LoadCondition.Dark];
        Assert.Equal((ConditionState.Holds, (DateTimeOffset?)null), (dark.State, dark.Source.Until));
    }

    [Fact]
    public void What_is_posted_stands_above_sun_and_thermometer()
    {
        var known = Reckon(
            Plan(s_air),
            posted: [Said("dark", holds: false), Said("temperature", celsius: 12)],
            readings: [Read(s_air, -4)]);
        var dark = known.ByCondition[LoadCondition.Dark];
        Assert.Equal((ConditionState.DoesNotHold, ConditionOrigin.Posted, "nora"), (dark.State, dark.Source.Origin, dark.Source.Who));
        Assert.Equal((12.0, ConditionOrigin.Posted), (known.Air.Shown!.Value.Celsius, known.Air.Source.Origin));
        Assert.Equal(ConditionState.DoesNotHold, known.StateOf(LoadCondition.Cold));
    }

    [Fact]
    public void What_is_posted_ends_at_its_end_and_not_before()
    {
        var word = Said("dark", holds: false);
        var design = Design(ConditionPlan.Nothing);
        Assert.Equal(ConditionOrigin.Posted, At(word.Until!.Value.AddTicks(-1)));
        Assert.Equal(ConditionOrigin.Sun, At(word.Until!.Value));

        ConditionOrigin At(DateTimeOffset now) => ConditionReckoner.Reckon(design, now, [word], []).ByCondition[LoadCondition.Dark].Source.Origin;
    }

    [Fact]
    public void A_word_that_is_taken_back_counts_no_more()
    {
        var back = Said("dark", holds: false) with { At = s_evening, Holds = null, Until = null };
        var newest = PostedCondition.Newest([Said("dark", holds: false), back]);
        Assert.True(newest["dark"].IsWithdrawn);
        Assert.Equal(ConditionOrigin.Sun, Reckon(ConditionPlan.Nothing, posted: [.. newest.Values]).ByCondition[LoadCondition.Dark].Source.Origin);
    }

    [Fact]
    public void A_thermometer_in_the_open_is_the_air_and_one_in_a_cabinet_is_not()
    {
        var known = Reckon(Plan(s_cabinet, s_air), readings: [Read(s_cabinet, 22), Read(s_air, 3.5)]);
        Assert.Equal((3.5, ConditionOrigin.Thermometer, "quay-air"), (known.Air.Shown!.Value.Celsius, known.Air.Source.Origin, known.Air.Source.Who));
        Assert.Equal(ConditionState.Holds, known.StateOf(LoadCondition.Cold));
        Assert.Equal(["cabinet-west", "quay-air"], known.Thermometers.Select(t => t.ThermometerId));
        Assert.Null(Reckon(Plan(s_cabinet), readings: [Read(s_cabinet, 22)]).Air.Shown);
    }

    [Fact]
    public void A_reading_that_is_too_old_leaves_the_temperature_unknown()
    {
        var known = Reckon(Plan(s_air), readings: [Read(s_air, 3.5) with { GoodUntil = s_evening }]);
        Assert.Null(known.Air.Shown);
        Assert.Equal(ConditionState.Unknown, known.StateOf(LoadCondition.Cold));
        Assert.Single(known.Thermometers);
    }

    [Fact]
    public void Of_two_thermometers_in_the_open_the_colder_counts()
    {
        var lee = s_air with { Id = "lee-air" };
        Assert.Equal(-1, Reckon(Plan(lee, s_air), readings: [Read(lee, 4), Read(s_air, -1)]).Air.Shown!.Value.Celsius);
    }

    [Theory]
    [InlineData(6, 20, ConditionState.DoesNotHold)]
    [InlineData(-10, 4, ConditionState.Holds)]
    [InlineData(-10, 11, ConditionState.Unknown)]
    public void Without_a_reading_the_climate_of_the_month_says_what_it_can(double coldest, double warmest, ConditionState state)
    {
        var climate = new SiteClimate([.. Enumerable.Repeat(Celsius(coldest), 12)], [.. Enumerable.Repeat(Celsius(warmest), 12)]);
        var cold = Reckon(new ConditionPlan(-6, null, climate, [])).ByCondition[LoadCondition.Cold];
        Assert.Equal((state, ConditionOrigin.Climate), (cold.State, cold.Source.Origin));
    }

    [Fact]
    public void A_month_without_rain_rules_wet_out_and_a_wet_one_says_nothing()
    {
        var always = Enumerable.Range(1, 12).ToList();
        var month = Reckon(ConditionPlan.Nothing).At.Month;
        var dry = Reckon(ConditionPlan.Nothing with { WetMonths = [.. always.Where(m => m != month)] }).ByCondition[LoadCondition.Wet];
        Assert.Equal((ConditionState.DoesNotHold, ConditionOrigin.Climate), (dry.State, dry.Source.Origin));
        Assert.Equal(ConditionState.Unknown, Reckon(ConditionPlan.Nothing with { WetMonths = [month] }).StateOf(LoadCondition.Wet));
    }

    [Fact]
    public void Cold_is_at_the_threshold_and_below()
    {
        var plan = Plan(s_air) with { ColdBelow = Celsius(2) };
        Assert.Equal(ConditionState.Holds, Reckon(plan, readings: [Read(s_air, 2)]).StateOf(LoadCondition.Cold));
        Assert.Equal(ConditionState.DoesNotHold, Reckon(plan, readings: [Read(s_air, 2.1)]).StateOf(LoadCondition.Cold));
    }

    [Fact]
    public void Cold_begins_where_the_first_heater_of_the_design_starts()
    {
        Assert.Equal(2, ColdBelow(Heated(2), Heated(-5)));
        Assert.Equal(ConditionPlan.ColdBelowDefault.Celsius, ColdBelow(Heated(2), Heated(null)));
        Assert.Equal(-5, ColdBelow(Heated(-5), new PhysicalDemand(Power.Zero, Power.FromWatts(5), Power.FromWatts(9))));
        Assert.Equal(ConditionPlan.ColdBelowDefault.Celsius, ColdBelow());

        static double ColdBelow(params PhysicalDemand[] types)
        {
            var design = new DesignModelBuilder().Switch("quay-west").Pole("pole-1").DeviceType("unused", Heated(30));
            for (var i = 0; i < types.Length; i++)
            {
                design.DeviceType($"type-{i}", types[i]).Port($"quay-west:1/{i + 1}", 30).Device($"device-{i}", $"type-{i}", "pole-1")
                    .Cable($"quay-west:1/{i + 1}", $"device-{i}", 50);
            }

            return ConditionReckoner.ColdBelow(design.Build()).Celsius;
        }

        static PhysicalDemand Heated(double? startsAt) => new(Power.Zero, Power.FromWatts(5), Power.FromWatts(20))
        {
            Adds = ImmutableSortedDictionary<LoadCondition, Power>.Empty.Add(LoadCondition.Cold, Power.FromWatts(10)),
            HeaterStartsAt = startsAt is { } celsius ? Celsius(celsius) : null,
        };
    }

    [Fact]
    public void Paging_and_motion_are_known_only_where_somebody_posts_them()
    {
        var known = Reckon(ConditionPlan.Nothing, posted: [Said("paging-all", holds: true), Said("motion", holds: false)]);
        Assert.Equal(ConditionState.Holds, known.StateOf(LoadCondition.PagingAll));
        Assert.Equal(ConditionState.DoesNotHold, known.StateOf(LoadCondition.Motion));
        Assert.Equal(ConditionState.Unknown, known.StateOf(LoadCondition.Wet));
    }

    private static SiteConditions Reckon(ConditionPlan plan, PostedCondition[]? posted = null, ThermometerReading[]? readings = null) =>
        ConditionReckoner.Reckon(Design(plan), s_evening, posted ?? [], readings ?? []);

    private static DesignModel Design(ConditionPlan plan) => Design(plan, s_harbour);

    private static DesignModel Design(ConditionPlan plan, Coordinates? place) =>
        new DesignModelBuilder().Switch("quay-west").Conditions(plan, place).Build();

    private static ConditionPlan Plan(params ImmutableArray<Thermometer> thermometers) => new(-6, null, null, thermometers);

    private static PostedCondition Said(string topic, bool? holds = null, double? celsius = null) => new(
        topic, s_evening.AddMinutes(-20), "nora", holds, celsius is { } c ? Celsius(c) : null, s_evening.AddHours(1), "by radio");

    private static ThermometerReading Read(Thermometer thermometer, double celsius) =>
        new(thermometer.Id, Celsius(celsius), s_evening.AddMinutes(-3), s_evening.AddMinutes(12), "");

    private static Temperature Celsius(double value) => Temperature.FromCelsius(value);

    private static DateTimeOffset Time(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);
}
