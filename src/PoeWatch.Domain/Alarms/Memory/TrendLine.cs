namespace PoeWatch.Domain.Alarms.Memory;

/// <summary>
/// A straight trend that single wild values do not bend: the median of the slopes of all pairs (Theil 1950, Sen 1968), with the confidence interval that Sen
/// derives from the variance of Kendall's tau (J. Am. Stat. Assoc. 63, 1379-1389; with ties as in Gilbert, Statistical Methods for Environmental Pollution
/// Monitoring, 1987, chapter 16; formulas from memory). Immutable.
/// </summary>
/// <param name="Slope">Median slope, in units of y by unit of x.</param>
/// <param name="SlopeLeast">Lower end of the interval; no more than <paramref name="Slope"/>.</param>
/// <param name="SlopeMost">Upper end of the interval; no less than <paramref name="Slope"/>.</param>
public readonly record struct TrendLine(double Slope, double SlopeLeast, double SlopeMost)
{
    /// <summary>2.5758 standard deviations: 99 % two-sided.</summary>
    public const double Z99 = 2.5758293035489004;

    /// <param name="x">Distinct values; at least three.</param>
    /// <param name="y">As many.</param>
    /// <param name="z">How many standard deviations wide the interval is to each side.</param>
    /// <returns>Null where there are fewer than three points.</returns>
    public static TrendLine? Of(IReadOnlyList<double> x, IReadOnlyList<double> y, double z = Z99)
    {
        var n = x.Count;
        if (n < 3)
        {
            return null;
        }

        var slopes = new List<double>(n * (n - 1) / 2);
        for (var i = 0; i < n; i++)
        {
            for (var j = i + 1; j < n; j++)
            {
                slopes.Add((y[j] - y[i]) / (x[j] - x[i]));
            }
        }

        slopes.Sort();
        var deviation = Math.Sqrt(Variance(y));
        var least = (int)Math.Round((slopes.Count - (z * deviation)) / 2, MidpointRounding.ToEven);
        var most = (int)Math.Round((slopes.Count + (z * deviation)) / 2, MidpointRounding.ToEven);
        return new TrendLine(Median(slopes), slopes[Math.Clamp(least - 1, 0, slopes.Count - 1)], slopes[Math.Clamp(most, 0, slopes.Count - 1)]);
    }

    /// <summary>Of Kendall's S; groups of equal values take away from it.</summary>
    private static double Variance(IReadOnlyList<double> y)
    {
        double n = y.Count;
        var ties = y.GroupBy(value => value).Select(g => (double)g.Count()).Sum(t => t * (t - 1) * ((2 * t) + 5));
        return ((n * (n - 1) * ((2 * n) + 5)) - ties) / 18;
    }

    private static double Median(List<double> sorted) =>
        sorted.Count % 2 == 1 ? sorted[sorted.Count / 2] : (sorted[(sorted.Count / 2) - 1] + sorted[sorted.Count / 2]) / 2;
}
