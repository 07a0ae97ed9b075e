using PoeWatch.Domain.Rollups;

namespace PoeWatch.Domain.Tests.Rollups;

/// <summary>Percentiles by the nearest rank, and histograms.</summary>
public sealed class HeldDrawsTests
{
    // The worked example of the nearest-rank method that encyclopedias give for the list 15, 20, 35, 40, 50 (from memory).
    [Theory]
    [InlineData(50, 15)]
    [InlineData(300, 20)]
    [InlineData(400, 20)]
    [InlineData(500, 35)]
    [InlineData(1000, 50)]
    public void A_percentile_is_the_nearest_rank(int permille, long expected)
    {
        var held = new HeldDraws();
        foreach (var value in new[] { 40L, 15, 50, 20, 35 })
        {
            held.Add(value, 1);
        }

        Assert.Equal(expected, held.Percentile(permille));
    }

    [Fact]
    public void Nothing_held_has_no_percentile() => Assert.Null(new HeldDraws().Percentile(950));

    [Fact]
    public void Many_small_values_stay_exact()
    {
        var (held, values) = Many(200_000, 131_071);
        Assert.Equal(values[(int)Math.Ceiling(0.95 * values.Length) - 1], held.Percentile(950));
    }

    [Fact]
    public void Large_sums_are_exact_to_0_002_percent()
    {
        var (held, values) = Many(200_000, 40_000_000);
        Assert.InRange(held.Percentile(950)!.Value / (double)values[(int)Math.Ceiling(0.95 * values.Length) - 1], 1 - 2e-5, 1 + 2e-5);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(499, 0)]
    [InlineData(500, 1)]
    [InlineData(-1, -1)]
    [InlineData(-500, -1)]
    [InlineData(-501, -2)]
    public void A_bin_is_half_open(long milliwatts, int bin) => Assert.Equal(bin, DrawHistogram.BinOf(milliwatts));

    [Fact]
    public void Histograms_add_up()
    {
        var (one, other) = (new DrawHistogram(), new DrawHistogram());
        one.Add(3, TimeSpan.FromHours(1));
        one.Add(1, TimeSpan.FromHours(2));
        other.Add(3, TimeSpan.FromHours(4));
        other.Add(9, TimeSpan.Zero);
        one.Add(other);
        Assert.Equal([KeyValuePair.Create(1, TimeSpan.FromHours(2)), KeyValuePair.Create(3, TimeSpan.FromHours(5))], one.Bins);
        Assert.Equal(TimeSpan.FromHours(7), one.Total);
    }

    private static (HeldDraws Held, long[] Sorted) Many(int count, int below)
    {
        var random = new Random(count);
        var held = new HeldDraws();
        var values = new long[count];
        for (var i = 0; i < count; i++)
        {
            held.Add(values[i] = random.Next(below), 7);
        }

        Array.Sort(values);
        return (held, values);
    }
}
