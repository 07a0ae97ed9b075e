using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>
/// Makes one point of each stretch of time in which both ends stood still. Two agents are never read at one moment: across a change of load the difference of their
/// readings is the change and not the cable. Pure and thread safe.
/// </summary>
public static class SteadyStretches
{
    /// <summary>Fewer readings than this are no stretch: the first and the last may straddle a change and are left out.</summary>
    public const int FewestReadings = 3;

    /// <param name="samples">In the order of time.</param>
    /// <param name="band">By how much either end may stray from the first reading of a stretch: a few steps of the coarser meter.</param>
    /// <param name="longestGap">Readings further apart belong to two stretches.</param>
    public static ImmutableArray<BalanceSample> Of(IEnumerable<BalanceSample> samples, Power band, TimeSpan longestGap)
    {
        ArgumentNullException.ThrowIfNull(samples);
        var points = ImmutableArray.CreateBuilder<BalanceSample>();
        var stretch = new List<BalanceSample>();
        foreach (var sample in samples)
        {
            if (stretch.Count > 0 && !Continues(stretch[0], stretch[^1], sample, band, longestGap))
            {
                AddMean(points, stretch);
                stretch.Clear();
            }

            stretch.Add(sample);
        }

        AddMean(points, stretch);
        return points.DrainToImmutable();
    }

    private static bool Continues(in BalanceSample first, in BalanceSample last, in BalanceSample next, Power band, TimeSpan longestGap) =>
        next.At - last.At <= longestGap
        && Math.Abs((next.AtPse - first.AtPse).Watts) <= band.Watts
        && Math.Abs(((next.WattsAtFarEnd ?? Power.Zero) - (first.WattsAtFarEnd ?? Power.Zero)).Watts) <= band.Watts
        && next.WattsAtFarEnd.HasValue == first.WattsAtFarEnd.HasValue
        && next.VoltsAtFarEnd.HasValue == first.VoltsAtFarEnd.HasValue;

    private static void AddMean(ImmutableArray<BalanceSample>.Builder points, List<BalanceSample> stretch)
    {
        if (stretch.Count < FewestReadings)
        {
            return;
        }

        points.Add(BalanceSample.Mean(stretch[1..^1]));
    }
}
