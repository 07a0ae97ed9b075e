using System.Collections.Immutable;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>
/// Finds the loop resistance of a segment whose both ends are metered, from steady stretches under different loads. Pure and thread safe.
/// </summary>
/// <remarks>
/// The watts that do not arrive are fitted as <c>c + b P + a I²</c>: what the far end takes itself, what its converter loses of every watt together with the difference of both
/// meters' gains, and the copper. Behind a converter of efficiency h the copper's watts count h times, and b holds 1 - h, so the loop is <c>a / (1 - b)</c>; the far meter's gain falls
/// out of that, the PSE's stays. Losses of the converter that grow with the square of its load cannot be told from copper: the figure is for growth and for a comparison with the design.
/// With volts at the far end the drop is fitted as <c>o + R I</c>.
/// </remarks>
public static class LoopEstimator
{
    /// <summary>Different loads that watts at the far end have to come with: three parts are fitted.</summary>
    public const int FewestLevels = 3 + StudentQuantile.LeastDegrees;

    /// <param name="points">Steady stretches, see <see cref="SteadyStretches"/>.</param>
    /// <param name="atPse">Volts at the PSE, taken as the same for all points.</param>
    public static LoopEstimate Estimate(ImmutableArray<BalanceSample> points, FarEndMeter meter, Voltage atPse, MeterTrust trust)
    {
        ArgumentNullException.ThrowIfNull(trust);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(atPse.Volts, 0.0);
        var used = points.IsDefault ? [] : Levels(points.Where(point => meter == FarEndMeter.InputVolts ? point.VoltsAtFarEnd is not null : point.WattsAtFarEnd is not null), trust.Step);
        return meter switch
        {
            FarEndMeter.OutputWatts or FarEndMeter.InputWatts => FromWatts(used, atPse, trust),
            FarEndMeter.InputVolts => FromVolts(used, atPse, trust),
            _ => throw new ArgumentOutOfRangeException(nameof(meter), meter, "The far end must tell watts or volts."),
        };
    }

    // The same load rounds to the same figures however often it comes: it is one point, or the interval would shrink with the repetitions and miss the truth.
    private static BalanceSample[] Levels(IEnumerable<BalanceSample> points, Power step) => step > Power.Zero
        ? [.. points.GroupBy(point => Math.Round(point.AtPse / step)).OrderBy(level => level.Key).Select(level => BalanceSample.Mean([.. level]))]
        : [.. points];

    private static LoopEstimate FromWatts(BalanceSample[] points, Voltage atPse, MeterTrust trust)
    {
        if (Fit(points, atPse, point => point.AtPse.Watts - point.WattsAtFarEnd!.Value.Watts, (amperes, warmth, point) => [1.0, point.AtPse.Watts, amperes * amperes * warmth]) is not { } fit)
        {
            return new LoopEstimate(LoopOutcome.TooFewChanges, null, null, null, points.Length);
        }

        var (b, a) = (fit.Coefficients[1], fit.Coefficients[2]);
        var loop = a / (1.0 - b);
        var (byA, byB) = (1.0 / (1.0 - b), loop / (1.0 - b));
        var variance = (byA * byA * fit.Covariance(2, 2)) + (2.0 * byA * byB * fit.Covariance(1, 2)) + (byB * byB * fit.Covariance(1, 1));

        // The current is reckoned as watts over volts: the loop goes with the PSE's gain once and with its volts squared.
        return Told(loop, variance, double.Hypot(Standard(trust.PseWatts), 2.0 * Standard(trust.PseVolts)), points.Length, parts: 3);
    }

    /// <summary>
    /// The watts that do not arrive, of both stretches together, as <c>c1 or c2 + b P + (a1 or a2) I²</c>: the far end's own draw may differ, the share of each watt may not. The shift is
    /// <c>(a2 - a1) / (1 - b)</c>. Null where the loads changed too little.
    /// </summary>
    /// <param name="earlier">Steady stretches of days before.</param>
    /// <param name="now">Steady stretches of the days that are compared with them.</param>
    public static LoopShift? Shift(ImmutableArray<BalanceSample> earlier, ImmutableArray<BalanceSample> now, Voltage atPse, MeterTrust trust)
    {
        ArgumentNullException.ThrowIfNull(trust);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(atPse.Volts, 0.0);
        var (before, after) = (Levels(earlier.Where(p => p.WattsAtFarEnd is not null), trust.Step), Levels(now.Where(p => p.WattsAtFarEnd is not null), trust.Step));
        if (before.Length < FewestLevels || after.Length < FewestLevels)
        {
            return null;
        }

        double[][] rows = [.. before.Select(p => Row(p, 1.0)), .. after.Select(p => Row(p, 0.0))];
        if (LeastSquares.Fit(rows, [.. before.Concat(after).Select(p => p.AtPse.Watts - p.WattsAtFarEnd!.Value.Watts)]) is not { } fit)
        {
            return null;
        }

        // What b is uncertain by moves the shift in proportion and not its sign.
        var arriving = 1.0 - fit.Coefficients[2];
        var variance = fit.Covariance(3, 3) + fit.Covariance(4, 4) - (2.0 * fit.Covariance(3, 4));
        var half = StudentQuantile.At95(rows.Length - rows[0].Length) * Math.Sqrt(Math.Max(0.0, variance));
        return arriving > 0.5
            ? new LoopShift(Resistance.FromOhms((fit.Coefficients[4] - fit.Coefficients[3]) / arriving), Resistance.FromOhms(half / arriving))
            : null;

        double[] Row(in BalanceSample point, double isBefore)
        {
            var amperes = point.AtPse.Watts / atPse.Volts;
            var heat = ChannelResistance.Warm(Resistance.FromOhms(amperes * amperes), point.Conductors).Ohms;
            return [isBefore, 1.0 - isBefore, point.AtPse.Watts, heat * isBefore, heat * (1.0 - isBefore)];
        }
    }

    private static LoopEstimate FromVolts(BalanceSample[] points, Voltage atPse, MeterTrust trust)
    {
        if (Fit(points, atPse, point => atPse.Volts - point.VoltsAtFarEnd!.Value.Volts, (amperes, warmth, _) => [1.0, amperes * warmth]) is not { } fit)
        {
            return new LoopEstimate(LoopOutcome.TooFewChanges, null, null, null, points.Length);
        }

        var gains = double.Hypot(double.Hypot(Standard(trust.PseWatts), Standard(trust.PseVolts)), Standard(trust.FarVolts));
        return Told(fit.Coefficients[1], fit.Covariance(1, 1), gains, points.Length, parts: 2);
    }

    private static LeastSquares? Fit(
        BalanceSample[] points, Voltage atPse, Func<BalanceSample, double> missing, Func<double, double, BalanceSample, double[]> parts)
    {
        var rows = points.Select(point => parts(point.AtPse.Watts / atPse.Volts, ChannelResistance.Warm(Resistance.FromOhms(1.0), point.Conductors).Ohms, point)).ToArray();
        return rows.Length > 0 && rows.Length - rows[0].Length >= StudentQuantile.LeastDegrees ? LeastSquares.Fit(rows, [.. points.Select(missing)]) : null;
    }

    private static LoopEstimate Told(double loop, double variance, double gains, int levels, int parts)
    {
        var quantile = StudentQuantile.At95(levels - parts);
        var scatter = quantile * Math.Sqrt(Math.Max(0.0, variance));
        var half = double.Hypot(scatter, StudentQuantile.Normal95 * gains * loop);
        var outcome = half <= LoopEstimate.WidestTold.Fraction * loop ? LoopOutcome.Found : LoopOutcome.TooWide;
        return new LoopEstimate(
            outcome, outcome == LoopOutcome.Found ? Resistance.FromOhms(loop) : null, Resistance.FromOhms(half), Resistance.FromOhms(scatter), levels);
    }

    // Anything within the width is as likely: a rectangle (JCGM 100:2008, 4.3.7).
    private static double Standard(Ratio halfWidth) => halfWidth.Fraction / Math.Sqrt(3.0);
}
