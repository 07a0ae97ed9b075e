using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using static PoeWatch.Domain.Tests.Rollups.Polls;

namespace PoeWatch.Domain.Tests.Rollups;

/// <summary>Intervals worked by hand: every expected number follows from watts times minutes. The examples A to F of docs/rollups.md are among them.</summary>
public sealed class DrawRollupTests
{
    // Definition of the unit: 60 W for a quarter of an hour are 15 Wh (1 Wh = 3600 J, SI brochure, table of non-SI units).
    [Fact]
    public void Sixty_watts_for_a_quarter_of_an_hour_are_15_watt_hours()
    {
        var quarter = Assert.Single(Rolled(EveryMinute(0, 15, _ => Measured(60)), 0, 15));
        Assert.Equal(15.0, quarter.EnergyWattHours, 9);
        Assert.Equal((60.0, 60.0, 60.0, 60.0), Watts(quarter));
        Assert.Equal((1.0, Provenance.Measured), (quarter.Coverage, quarter.Provenance));
    }

    [Fact]
    public void Example_A_a_mean_is_weighted_by_time_and_not_by_samples()
    {
        // 10 W for 12 min told every 3 min, then 40 W for 3 min told every minute: (10 * 12 + 40 * 3) / 15 = 16 W.
        var samples = new[] { 0, 3, 6, 9 }.Select(m => ((double)m, Measured(10))).Concat(EveryMinute(12, 15, _ => Measured(40)));
        var quarter = Assert.Single(Rolled(samples, 0, 15));
        Assert.Equal((10.0, 16.0, 40.0, 40.0), Watts(quarter));
        Assert.Equal(4.0, quarter.EnergyWattHours, 9);
    }

    [Fact]
    public void Example_B_a_gap_is_never_zero()
    {
        // Answers at 0..4 and 10..14 min: the one at 4 holds to 5, nothing is known until 10. 30 W over 10 min = 5 Wh, mean 30 W, covered 2/3.
        var quarter = Assert.Single(Rolled([.. EveryMinute(0, 5, _ => Measured(30)), .. EveryMinute(10, 15, _ => Measured(30))], 0, 15));
        Assert.Equal(5.0, quarter.EnergyWattHours, 9);
        Assert.Equal((30.0, 30.0, 30.0, 30.0), Watts(quarter));
        Assert.Equal(10 / 15.0, quarter.Coverage, 12);
    }

    [Fact]
    public void An_interval_without_any_reading_is_a_gap_without_numbers()
    {
        var quarters = Rolled(EveryMinute(0, 5, _ => Measured(30)), 0, 15, 30);
        Assert.Equal(DrawRollup.Nothing(At(15), At(30)), quarters[1]);
        Assert.True(quarters[1].IsGap);
        Assert.Equal((null, null, Provenance.Unknown), (quarters[1].Mean, quarters[1].Min, quarters[1].Provenance));
    }

    [Fact]
    public void Example_C_off_is_a_fact_of_0_W_and_covers_time()
    {
        // 30 W for 10 min, off for 5: mean (30 * 10 + 0 * 5) / 15 = 20 W.
        var quarter = Assert.Single(Rolled(EveryMinute(0, 15, m => m < 10 ? Measured(30) : Off), 0, 15));
        Assert.Equal((0.0, 20.0, 30.0, 30.0), Watts(quarter));
        Assert.Equal((1.0, Provenance.Measured), (quarter.Coverage, quarter.Provenance));
        Assert.Equal((Minute * 10, Minute * 5), (quarter.Known.Of(Provenance.Measured), quarter.Known.Of(Provenance.Off)));
    }

    [Fact]
    public void Example_D_a_ceiling_never_counts_as_draw()
    {
        // 5 min measured 12 W = 1 Wh; 10 min only an allocation of 30 W.
        var quarter = Assert.Single(Rolled(EveryMinute(0, 15, m => m < 5 ? Measured(12) : Ceiling(30)), 0, 15));
        Assert.Equal((12.0, 12.0, 12.0, 12.0), Watts(quarter));
        Assert.Equal(1.0, quarter.EnergyWattHours, 9);
        Assert.Equal((5 / 15.0, 10 / 15.0, 30.0), (quarter.Coverage, quarter.CeilingCoverage, quarter.Ceiling!.Value.Watts));
        Assert.Equal(Provenance.Measured, quarter.Provenance);
    }

    [Fact]
    public void Ceilings_alone_give_neither_draw_nor_energy()
    {
        var quarter = Assert.Single(Rolled(EveryMinute(0, 15, _ => Ceiling(15.4)), 0, 15));
        Assert.Equal((null, null, null), (quarter.Min, quarter.Mean, quarter.Percentile95));
        Assert.Equal((0.0, 0.0, 1.0), (quarter.EnergyWattHours, quarter.Coverage, quarter.CeilingCoverage));
        Assert.Equal((Provenance.Allocated, false), (quarter.Provenance, quarter.IsGap));
    }

    [Theory]
    [InlineData(Provenance.Measured, Provenance.Estimated, Provenance.Estimated)]
    [InlineData(Provenance.Off, Provenance.Derived, Provenance.Derived)]
    [InlineData(Provenance.ReportedByPd, Provenance.Derived, Provenance.ReportedByPd)]
    [InlineData(Provenance.Off, Provenance.ClassBound, Provenance.Off)]
    [InlineData(Provenance.Allocated, Provenance.ClassBound, Provenance.ClassBound)]
    public void The_weakest_draw_names_the_interval(Provenance first, Provenance second, Provenance expected)
    {
        var samples = EveryMinute(0, 15, m => new KnownPower(Domain.Quantities.Power.Zero, m < 7 ? first : second));
        Assert.Equal(expected, Assert.Single(Rolled(samples, 0, 15)).Provenance);
    }

    [Fact]
    public void Example_E_the_95th_percentile_is_of_the_time_known()
    {
        // An hour of minutes at 1, 2, ... 60 W: 95 % of 60 min are 57 min, so the draw was at or below 57 W for them.
        Assert.Equal(57.0, Assert.Single(Rolled(EveryMinute(0, 60, m => Measured(m + 1)), 0, 60)).Percentile95!.Value.Watts);

        // 3 min at 90 W in an hour at 10 W are 5 % of it: not more than 5 % lie above 10 W. A fourth minute changes that.
        Assert.Equal(10.0, Assert.Single(Rolled(EveryMinute(0, 60, m => Measured(m < 3 ? 90 : 10)), 0, 60)).Percentile95!.Value.Watts);
        Assert.Equal(90.0, Assert.Single(Rolled(EveryMinute(0, 60, m => Measured(m < 4 ? 90 : 10)), 0, 60)).Percentile95!.Value.Watts);
    }

    [Fact]
    public void A_percentile_of_an_hour_is_not_made_of_percentiles()
    {
        // One minute at 90 W in each quarter-hour: each quarter's percentile is 90 W (1 of 15 min is more than 5 %), and so is the hour's (4 of 60).
        // One quarter-hour alone with such a minute: 1 of 60 min, so the hour's is 10 W although a quarter's is 90 W.
        var one = EveryMinute(0, 60, m => Measured(m == 20 ? 90 : 10));
        Assert.Equal(90.0, Rolled(one, 0, 15, 30, 45, 60).Max(q => q.Percentile95!.Value.Watts));
        Assert.Equal(10.0, Assert.Single(Rolled(one, 0, 60)).Percentile95!.Value.Watts);
        Assert.Null(DrawRollup.Merge([.. Rolled(one, 0, 15, 30, 45, 60)], At(0), At(60)).Percentile95);
    }

    [Fact]
    public void Example_F_a_reading_holds_over_a_bound_and_is_cut_there()
    {
        // 10 W from 14:30 to 15:30 after the start: half a minute each side.
        var quarters = Rolled([(14.5, Measured(10)), (15.5, Measured(70))], 0, 15, 30);
        Assert.Equal((Minute / 2, Minute * 1.5), (quarters[0].Known.OfDraws, quarters[1].Known.OfDraws));
        Assert.Equal((10 * 0.5 / 60, ((10 * 0.5) + (70 * 1)) / 60), (quarters[0].EnergyWattHours, quarters[1].EnergyWattHours));
        Assert.Equal((10.0, 70.0), (quarters[1].Min!.Value.Watts, quarters[1].Max!.Value.Watts));
    }

    [Fact]
    public void A_reading_before_the_first_bound_holds_into_it_and_one_after_the_last_does_not_reach_back()
    {
        var interval = Assert.Single(Rolled([(-1, Measured(10)), (1, Measured(40)), (4, Measured(99))], 0, 3));
        Assert.Equal((10.0, 40.0, 1.0), (interval.Min!.Value.Watts, interval.Max!.Value.Watts, interval.Coverage));
    }

    private static (double Min, double Mean, double P95, double Max) Watts(DrawRollup r) =>
        (r.Min!.Value.Watts, Math.Round(r.Mean!.Value.Watts, 9), r.Percentile95!.Value.Watts, r.Max!.Value.Watts);
}
