using System.Collections.Immutable;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Tests.Evidence;

/// <summary>Intervals worked by hand: every expected number below follows from watts times seconds.</summary>
public sealed class DrawSeriesTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan Quarter = TimeSpan.FromMinutes(15);

    // Check row "60 W for 15 min = 15.0 Wh": the unit itself.
    [Fact]
    public void Sixty_watts_for_a_quarter_of_an_hour_is_15_watt_hours()
    {
        var step = Assert.Single(Series(Start + Quarter, Quarter, EveryMinute(0, 15, _ => Measured(60))));
        Assert.Equal(15.0, step.EnergyWattHours, 9);
        Assert.Equal(1.0, step.Coverage);
        Assert.Equal((60.0, 60.0, 60.0), (step.Min!.Value.Watts, step.Mean!.Value.Watts, step.Max!.Value.Watts));
        Assert.Equal(Provenance.Measured, step.Provenance);
    }

    [Fact]
    public void A_mean_is_weighted_by_time_and_not_by_samples()
    {
        // 10 W for 12 min told by one sample every 3 min, then 40 W for 3 min told by one a minute: (10 * 12 + 40 * 3) / 15 = 16 W.
        var samples = new[] { 0, 3, 6, 9 }.Select(m => At(m, Measured(10))).Concat(new[] { 12, 13, 14 }.Select(m => At(m, Measured(40))));
        var step = Assert.Single(Series(Start + Quarter, Quarter, samples));
        Assert.Equal(16.0, step.Mean!.Value.Watts, 9);
        Assert.Equal(4.0, step.EnergyWattHours, 9);
        Assert.Equal((10.0, 40.0), (step.Min!.Value.Watts, step.Max!.Value.Watts));
    }

    [Fact]
    public void A_gap_of_more_than_3_periods_is_a_gap_and_never_zero()
    {
        // Answers at 0..4 min and from 10 min on: the one at 4 min holds to 5 min, then nothing until 10.
        var samples = EveryMinute(0, 5, _ => Measured(30)).Concat(EveryMinute(10, 15, _ => Measured(30)));
        var steps = Series(Start + Quarter, TimeSpan.FromMinutes(5), samples);
        Assert.Equal([1.0, 0.0, 1.0], steps.Select(s => s.Coverage));
        Assert.True(steps[1].IsGap);
        Assert.Null(steps[1].Mean);
        Assert.Equal(Provenance.Unknown, steps[1].Provenance);
        Assert.Equal(5.0, DrawSeries.EnergyWattHours(steps), 9); // 30 W for 10 min
    }

    [Fact]
    public void Exactly_3_periods_between_answers_is_no_gap()
    {
        var steps = Series(Start + Minute * 3, Minute * 3, [At(0, Measured(20)), At(3, Measured(50))]);
        Assert.Equal(1.0, Assert.Single(steps).Coverage);
        Assert.Equal(20.0, steps[0].Mean!.Value.Watts);
    }

    [Fact]
    public void A_silent_poll_ends_what_was_known_at_once()
    {
        // Known 0..2 min, silent at 2, answered again at 4: the step of 5 min is covered for 3.
        DrawSample[] samples = [At(0, Measured(60)), At(1, Measured(60)), At(2, KnownPower.Nothing), At(3, KnownPower.Nothing), At(4, Measured(30))];
        var step = Assert.Single(Series(Start + Minute * 5, Minute * 5, samples));
        Assert.Equal(0.6, step.Coverage, 12);
        Assert.Equal((60 * 2 + 30 * 1) / 60.0, step.EnergyWattHours, 9);
        Assert.Equal(50.0, step.Mean!.Value.Watts, 9);
    }

    [Fact]
    public void Off_is_a_fact_of_0_W_and_covers_time()
    {
        var step = Assert.Single(Series(Start + Quarter, Quarter, EveryMinute(0, 15, m => m < 10 ? Measured(30) : Off)));
        Assert.Equal((0.0, 20.0, 30.0), (step.Min!.Value.Watts, step.Mean!.Value.Watts, step.Max!.Value.Watts));
        Assert.Equal((1.0, Provenance.Measured), (step.Coverage, step.Provenance));
    }

    [Fact]
    public void A_ceiling_is_kept_apart_from_a_draw()
    {
        // 5 min measured, 10 min class bound: mean and energy speak of the 5 min only.
        var samples = EveryMinute(0, 15, m => m < 5 ? Measured(12) : new KnownPower(Power.FromWatts(30), Provenance.ClassBound));
        var step = Assert.Single(Series(Start + Quarter, Quarter, samples));
        Assert.Equal((12.0, 12.0), (step.Mean!.Value.Watts, step.Max!.Value.Watts));
        Assert.Equal(1.0, step.EnergyWattHours, 9);
        Assert.Equal((5 / 15.0, 10 / 15.0), (step.Coverage, step.CeilingCoverage));
        Assert.Equal((30.0, Provenance.Measured), (step.Ceiling!.Value.Watts, step.Provenance));
    }

    [Fact]
    public void A_step_with_ceilings_only_has_no_draw_and_no_energy()
    {
        var step = Assert.Single(Series(Start + Quarter, Quarter, EveryMinute(0, 15, _ => new KnownPower(Power.FromWatts(15.4), Provenance.Allocated))));
        Assert.Null(step.Mean);
        Assert.Equal((0.0, 0.0, 1.0), (step.EnergyWattHours, step.Coverage, step.CeilingCoverage));
        Assert.Equal((15.4, Provenance.Allocated), (step.Ceiling!.Value.Watts, step.Provenance));
        Assert.False(step.IsGap);
    }

    [Fact]
    public void The_weakest_draw_names_the_provenance()
    {
        var samples = EveryMinute(0, 15, m => m == 7 ? new KnownPower(Power.FromWatts(9), Provenance.Estimated) : Measured(9));
        Assert.Equal(Provenance.Estimated, Assert.Single(Series(Start + Quarter, Quarter, samples)).Provenance);
    }

    [Fact]
    public void A_sample_from_before_the_series_holds_into_it_and_one_after_it_does_not_reach_back()
    {
        DrawSample[] samples = [At(-1, Measured(10)), At(2, Measured(40)), At(9, Measured(99))];
        var steps = Series(Start + Minute * 4, Minute * 2, samples);
        Assert.Equal((10.0, 1.0), (steps[0].Mean!.Value.Watts, steps[0].Coverage));
        Assert.Equal((40.0, 0.5), (steps[1].Mean!.Value.Watts, steps[1].Coverage)); // held for one period before the gap
    }

    [Fact]
    public void A_step_is_half_open_and_the_last_one_may_be_shorter()
    {
        var steps = Series(Start + Minute * 5, Minute * 2, EveryMinute(0, 6, m => Measured(m < 2 ? 10 : 20)));
        Assert.Equal(3, steps.Length);
        Assert.Equal((10.0, 20.0), (steps[0].Max!.Value.Watts, steps[1].Min!.Value.Watts));
        Assert.Equal((Start + Minute * 5, 1.0), (steps[2].End, steps[2].Coverage));
        Assert.Equal(20 / 60.0, steps[2].EnergyWattHours, 9);
    }

    [Fact]
    public void A_reading_before_its_predecessor_is_left_out()
    {
        DrawSample[] samples = [At(0, Measured(10)), At(1, Measured(10)), At(-30, Measured(99)), At(2, Measured(10))];
        var step = Assert.Single(Series(Start + Minute * 3, Minute * 3, samples));
        Assert.Equal((10.0, 1.0), (step.Max!.Value.Watts, step.Coverage));
    }

    // RFC 3339 knows no local day: it is ours to cut. 96 quarter-hours, 92 where the clock goes forward, 100 where it goes back (derived).
    [Theory]
    [InlineData("2026-03-14", 96)]
    [InlineData("2026-03-29", 92)]
    [InlineData("2026-10-25", 100)]
    public void A_day_at_the_site_has_92_96_or_100_quarter_hours(string date, int expected)
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/London");
        var day = LocalDay.Of(DateOnly.ParseExact(date, "yyyy-MM-dd", null), zone);
        Assert.Equal(expected, day.StepCount(Quarter));
        Assert.Equal(expected, DrawSeries.Of([], day.Start, day.End, Quarter).Length);
    }

    [Fact]
    public void A_day_whose_midnight_does_not_exist_starts_when_the_clock_has_moved_on()
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById("America/Santiago"); // 2026-09-06 begins at 01:00
        var day = LocalDay.Of(new DateOnly(2026, 9, 6), zone);
        Assert.Equal(new DateTimeOffset(2026, 9, 6, 4, 0, 0, TimeSpan.Zero), day.Start);
        Assert.Equal(92, day.StepCount(Quarter));
    }

    // Check row "95 valid of 96 = 98.96 %" (derived).
    [Fact]
    public void Ninety_five_of_96_is_98_96_percent_complete()
    {
        var samples = EveryMinute(0, 24 * 60, _ => Measured(20)).Where(s => s.At < Start + Quarter * 10 || s.At >= Start + Quarter * 11);
        var steps = Series(Start.AddDays(1), Quarter, samples);
        var complete = Completeness.Of(steps, coverageMin: 0.95);
        Assert.Equal((95, 96), (complete.Valid, complete.Expected));
        Assert.Equal(98.96, complete.Share.Percent, 2);
        Assert.Equal(20 * 23.75, DrawSeries.EnergyWattHours(steps), 6);
    }

    [Fact]
    public void A_series_of_too_many_steps_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => DrawSeries.Of([], Start, Start.AddDays(365), TimeSpan.FromSeconds(1)));

    private static KnownPower Off => new(Power.Zero, Provenance.Off);

    private static KnownPower Measured(double watts) => new(Power.FromWatts(watts), Provenance.Measured);

    private static DrawSample At(double minute, KnownPower power) => new(Start.AddMinutes(minute), power);

    private static IEnumerable<DrawSample> EveryMinute(int from, int to, Func<int, KnownPower> power) =>
        Enumerable.Range(from, to - from).Select(m => At(m, power(m)));

    private static ImmutableArray<DrawStep> Series(DateTimeOffset end, TimeSpan step, IEnumerable<DrawSample> samples) =>
        DrawSeries.Of(DrawSpans.From(samples, Minute), Start, end, step);
}
