using PoeWatch.Domain.Alarms.Memory;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>The robust slope and its interval.</summary>
public sealed class TrendLineTests
{
    // Hollander and Wolfe, Nonparametric Statistical Methods, the cloud-seeding data of their chapter on Theil's slope: five years, estimate -0.056 (from memory).
    [Fact]
    public void The_slope_of_a_worked_example_of_a_textbook_is_found()
    {
        var line = TrendLine.Of([1, 2, 3, 4, 5], [1.26, 1.27, 1.12, 1.16, 1.03])!.Value;
        Assert.Equal(-0.056, line.Slope, 0.0005);
    }

    [Fact]
    public void A_straight_line_is_found_exactly_and_one_wild_value_does_not_bend_it()
    {
        double[] x = [.. Enumerable.Range(0, 20).Select(i => (double)i)];
        var line = TrendLine.Of(x, [.. x.Select(v => 3 + (0.5 * v))])!.Value;
        Assert.Equal((0.5, 0.5, 0.5), (line.Slope, line.SlopeLeast, line.SlopeMost));
        Assert.Equal(0.5, TrendLine.Of(x, [.. x.Select(v => v == 10 ? 500 : 3 + (0.5 * v))])!.Value.Slope, 12);
    }

    [Fact]
    public void Two_points_make_no_trend() => Assert.Null(TrendLine.Of([0, 1], [0, 1]));

    // An interval of 99 % holds the truth in 99 of 100 series; of 1,000 seeded ones with normal noise between 980 and 999 do (three standard deviations are 9).
    [Fact]
    public void The_interval_holds_the_true_slope_as_often_as_it_says()
    {
        var random = new Random(4711);
        double[] x = [.. Enumerable.Range(0, 28).Select(i => (double)i)];
        var held = Enumerable.Range(0, 1000).Count(_ =>
        {
            var line = TrendLine.Of(x, [.. x.Select(v => (0.1 * v) + Normal(random))])!.Value;
            Assert.InRange(line.Slope, line.SlopeLeast, line.SlopeMost);
            return line.SlopeLeast <= 0.1 && 0.1 <= line.SlopeMost;
        });
        Assert.InRange(held, 980, 999);
    }

    [Fact]
    public void Values_that_are_all_alike_have_a_slope_of_nothing() =>
        Assert.Equal(new TrendLine(0, 0, 0), TrendLine.Of([0, 1, 2, 3], [5, 5, 5, 5]));

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
