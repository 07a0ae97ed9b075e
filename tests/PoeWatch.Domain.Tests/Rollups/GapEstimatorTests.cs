using PoeWatch.Domain.Rollups;
using static PoeWatch.Domain.Tests.Rollups.Polls;

namespace PoeWatch.Domain.Tests.Rollups;

/// <summary>What is estimated over gaps, by hand. No estimate ever enters the energy itself.</summary>
public sealed class GapEstimatorTests
{
    [Fact]
    public void Example_H_a_gap_of_three_quarter_hours_lies_on_the_line()
    {
        // 20 W before, 60 W after, three quarters between: means 20 + 40 * (1/6, 3/6, 5/6) W, a quarter of an hour each; together 3/4 h of 40 W = 30 Wh.
        var estimated = Estimated(Quarter(0, 20), Gap(1), Gap(2), Gap(3), Quarter(4, 60));
        Assert.Equal([null, (20 + (40 / 6.0)) / 4, 10, (20 + (200 / 6.0)) / 4, null], estimated.Select(e => e.EstimateWattHours), Near);
        Assert.Equal([5, 0, 0, 0, 15], estimated.Select(e => e.Rollup.EnergyWattHours));
        Assert.Equal(30, estimated.Sum(e => e.EstimateWattHours ?? 0), 9);
    }

    [Fact]
    public void An_interval_that_is_covered_in_part_has_its_own_mean_for_the_rest()
    {
        // 30 W over 10 of 15 min: the other 5 min at 30 W are 2.5 Wh.
        var part = Rolled([.. EveryMinute(0, 5, _ => Measured(30)), .. EveryMinute(10, 15, _ => Measured(30))], 0, 15);
        Assert.Equal(2.5, Estimated([.. part])[0].EstimateWattHours!.Value, 9);
    }

    [Theory]
    [InlineData(8, true)] // 8 of 15 min
    [InlineData(7, false)]
    public void Less_than_half_an_interval_says_too_little_of_the_rest(int minutes, bool isEstimated) =>
        Assert.Equal(isEstimated, Estimated([.. Rolled(EveryMinute(0, minutes, _ => Measured(30)), 0, 15)])[0].EstimateWattHours is not null);

    [Fact]
    public void Two_hours_are_estimated_and_more_are_not()
    {
        Assert.All(Estimated([Quarter(0, 20), .. Enumerable.Range(1, 8).Select(Gap), Quarter(9, 20)]).Skip(1).Take(8), e => Assert.Equal(5, e.EstimateWattHours!.Value, 9));
        Assert.All(Estimated([Quarter(0, 20), .. Enumerable.Range(1, 9).Select(Gap), Quarter(10, 20)]), e => Assert.Null(e.EstimateWattHours));
        Assert.All(Estimated([Quarter(0, 20), .. Enumerable.Range(1, 12).Select(Gap), Quarter(13, 20)]), e => Assert.Null(e.EstimateWattHours));
    }

    [Fact]
    public void A_gap_at_either_end_has_no_estimate()
    {
        Assert.Null(Estimated(Gap(0), Quarter(1, 20))[0].EstimateWattHours);
        Assert.Null(Estimated(Quarter(0, 20), Gap(1))[1].EstimateWattHours);
    }

    [Fact]
    public void Ceilings_leave_the_draw_unknown()
    {
        var ceiling = Assert.Single(Rolled(EveryMinute(15, 30, _ => Ceiling(30)), 15, 30));
        Assert.Equal(5, Estimated(Quarter(0, 20), ceiling, Quarter(2, 20))[1].EstimateWattHours!.Value, 9);
    }

    [Fact]
    public void Intervals_come_out_as_they_went_in()
    {
        DrawRollup[] intervals = [Gap(0), Quarter(1, 5), Gap(2), .. Enumerable.Range(3, 20).Select(Gap), Quarter(23, 7), Gap(24)];
        Assert.Equal(intervals, Estimated(intervals).Select(e => e.Rollup));
    }

    private static List<EstimatedRollup> Estimated(params DrawRollup[] intervals)
    {
        var estimator = new GapEstimator();
        return [.. intervals.SelectMany(estimator.Add).ToArray(), .. estimator.Finish()];
    }

    private static DrawRollup Gap(int quarter) => DrawRollup.Nothing(At(15 * quarter), At(15 * (quarter + 1)));

    private static DrawRollup Quarter(int quarter, double watts) =>
        Assert.Single(Rolled(EveryMinute(15 * quarter, 15 * (quarter + 1), _ => Measured(watts)), 15 * quarter, 15 * (quarter + 1)));

    private static bool Near(double? a, double? b) => a is null ? b is null : b is not null && Math.Abs(a.Value - b.Value) < 1e-9;
}
