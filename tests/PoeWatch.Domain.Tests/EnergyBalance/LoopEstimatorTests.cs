using System.Collections.Immutable;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.LinearAlgebra;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.EnergyBalance;

/// <summary>The loop of a segment, found from both ends: against circuits without noise, and the statistics against a general-purpose library.</summary>
public sealed class LoopEstimatorTests
{
    private static readonly MeterTrust s_exact = new(default, default, default, default);
    private static readonly Voltage s_volts = Voltage.FromVolts(54);

    // Reference: MathNet.Numerics, Student's t.
    [Theory]
    [InlineData(5)]
    [InlineData(6)]
    [InlineData(10)]
    [InlineData(30)]
    [InlineData(1000)]
    public void Quantile_is_that_of_students_t(int degrees) =>
        Assert.Equal(StudentT.InvCDF(0, 1, degrees, 0.95), StudentQuantile.At95(degrees), 1e-3);

    // Reference: MathNet.Numerics; coefficients by its QR, covariance by its inverse.
    [Fact]
    public void Fit_is_that_of_a_general_purpose_library()
    {
        var chance = new Random(7);
        double[][] rows = [.. Enumerable.Range(0, 40).Select(_ => 10 + (50 * chance.NextDouble())).Select(x => new[] { 1.0, x, x * x })];
        double[] values = [.. rows.Select(row => 3 + (0.1 * row[1]) + (0.002 * row[2]) + chance.NextDouble())];

        var fit = LeastSquares.Fit(rows, values)!;

        var design = Matrix<double>.Build.DenseOfRowArrays(rows);
        var reference = design.QR().Solve(Vector<double>.Build.DenseOfArray(values));
        var variance = (Vector<double>.Build.DenseOfArray(values) - (design * reference)).PointwisePower(2).Sum() / 37;
        var covariance = (design.Transpose() * design).Inverse() * variance;
        for (var a = 0; a < 3; a++)
        {
            Assert.Equal(1.0, fit.Coefficients[a] / reference[a], 1e-8);
            Assert.Equal(1.0, fit.Covariance(a, 2) / covariance[a, 2], 1e-6);
        }
    }

    [Theory]
    [InlineData(1.0, 0.0, FarEndMeter.InputWatts)]
    [InlineData(0.9, 5.0, FarEndMeter.OutputWatts)]
    [InlineData(0.8, 0.0, FarEndMeter.OutputWatts)]
    public void Loop_is_found_exactly_behind_any_converter(double efficiency, double ownWatts, FarEndMeter meter)
    {
        var estimate = LoopEstimator.Estimate(Points(8.4, 20, (arriving, _) => (arriving - ownWatts) * efficiency), meter, s_volts, s_exact);

        Assert.Equal(LoopOutcome.Found, estimate.Outcome);
        Assert.Equal(8.4, estimate.Loop!.Value.Ohms, 1e-6);
        Assert.Equal(0.0, estimate.HalfWidth!.Value.Ohms, 1e-6);
    }

    [Fact]
    public void Volts_at_the_far_end_tell_the_loop_by_its_drop()
    {
        ImmutableArray<BalanceSample> points =
        [
            .. Points(8.4, 20, (arriving, _) => arriving).Select(p => p with { VoltsAtFarEnd = s_volts - (p.AtPse / s_volts * Resistance.FromOhms(8.4)), WattsAtFarEnd = null }),
        ];

        Assert.Equal(8.4, LoopEstimator.Estimate(points, FarEndMeter.InputVolts, s_volts, s_exact).Loop!.Value.Ohms, 1e-6);
    }

    // 0.00393 per degree from 20 °C: copper at 60 °C has 1.1572 times the ohms.
    [Fact]
    public void Warm_copper_is_reckoned_back_to_20_degrees()
    {
        ImmutableArray<BalanceSample> points =
            [.. Points(8.4 * 1.1572, 20, (arriving, _) => arriving).Select(p => p with { Conductors = Temperature.FromCelsius(60) })];

        Assert.Equal(8.4, LoopEstimator.Estimate(points, FarEndMeter.InputWatts, s_volts, s_exact).Loop!.Value.Ohms, 1e-6);
    }

    [Fact]
    public void Too_few_changes_tell_nothing()
    {
        var steady = Enumerable.Repeat(Points(8, 20, (arriving, _) => arriving)[3], 20).ToImmutableArray();

        Assert.Equal(LoopOutcome.TooFewChanges, LoopEstimator.Estimate(steady, FarEndMeter.InputWatts, s_volts, s_exact).Outcome);
        Assert.Equal(LoopOutcome.TooFewChanges, LoopEstimator.Estimate(Points(8, 7, (arriving, _) => arriving), FarEndMeter.InputWatts, s_volts, s_exact).Outcome);
        Assert.Equal(LoopOutcome.TooFewChanges, LoopEstimator.Estimate(default, FarEndMeter.InputWatts, s_volts, s_exact).Outcome);
    }

    [Fact]
    public void A_load_that_comes_again_and_again_counts_once()
    {
        var once = LoopEstimator.Estimate(Points(8, 20, (arriving, at) => arriving + (at % 3 * 0.05)), FarEndMeter.InputWatts, s_volts, MeterTrust.Usual);
        var often = LoopEstimator.Estimate(
            [.. Enumerable.Repeat(Points(8, 20, (arriving, at) => arriving + (at % 3 * 0.05)), 50).SelectMany(points => points)], FarEndMeter.InputWatts, s_volts, MeterTrust.Usual);

        Assert.Equal((20, 20), (once.Levels, often.Levels));
        Assert.Equal(once.HalfWidth!.Value.Ohms, often.HalfWidth!.Value.Ohms, 1e-9);
    }

    [Fact]
    public void Noise_that_hides_the_copper_is_told_as_no_resistance()
    {
        var chance = new Random(3);
        var estimate = LoopEstimator.Estimate(Points(1.0, 12, (arriving, _) => arriving + chance.NextDouble()), FarEndMeter.InputWatts, s_volts, s_exact);

        Assert.Equal((LoopOutcome.TooWide, null), (estimate.Outcome, estimate.Loop));
        Assert.True(estimate.HalfWidth!.Value.Ohms > 0.2);
    }

    // JCGM 100:2008, 4.3.7: a rectangle of half width a has a standard uncertainty of a/√3. 2 % of watts and twice 1 % of volts, no scatter: 1.645 · √(1.155² + 1.155²) % = 2.686 %.
    [Fact]
    public void Gains_of_the_meters_widen_the_interval()
    {
        var estimate = LoopEstimator.Estimate(Points(8.0, 20, (arriving, _) => arriving), FarEndMeter.InputWatts, s_volts, MeterTrust.Usual);

        Assert.Equal(0.02686 * 8.0, estimate.HalfWidth!.Value.Ohms, 1e-4);
        Assert.Equal(0.0, estimate.Scatter!.Value.Ohms, 1e-6);
    }

    [Theory]
    [InlineData(1.0, 0.0, 0.0)]
    [InlineData(0.9, 5.0, 5.5)]
    public void A_shift_is_found_exactly_though_the_far_end_takes_more_itself_than_before(double efficiency, double ownBefore, double ownNow)
    {
        var shift = LoopEstimator.Shift(
            Points(8.4, 20, (arriving, _) => (arriving - ownBefore) * efficiency), Points(9.1, 20, (arriving, _) => (arriving - ownNow) * efficiency), s_volts, s_exact)!;
        Assert.Equal((0.7, 0.0), (Math.Round(shift.Ohms.Ohms, 5), Math.Round(shift.HalfWidth.Ohms, 5)));
        Assert.Null(LoopEstimator.Shift(Points(8, 7, (arriving, _) => arriving), Points(8, 20, (arriving, _) => arriving), s_volts, s_exact));
    }

    [Fact]
    public void Growth_is_told_with_its_interval()
    {
        LoopEstimate Of(double ohms, double scatter) => new(LoopOutcome.Found, Resistance.FromOhms(ohms), Resistance.FromOhms(1), Resistance.FromOhms(scatter), 20);

        var growth = LoopGrowth.Between(Of(8, 0.4), Of(10, 0.5))!;

        // 10/8 - 1, and 1.25 · √(0.05² + 0.05²).
        Assert.Equal((0.25, 0.0884), (growth.Share.Fraction, Math.Round(growth.HalfWidth.Fraction, 4)));
        Assert.True(growth.IsProven);
        Assert.False(LoopGrowth.Between(Of(8, 0.4), Of(8.5, 0.5))!.IsProven);
        Assert.Null(LoopGrowth.Between(Of(8, 0.4), new LoopEstimate(LoopOutcome.TooWide, null, Resistance.FromOhms(9), Resistance.FromOhms(9), 9)));
    }

    [Fact]
    public void Stretches_leave_out_what_straddles_a_change()
    {
        double[] watts = [20, 20.1, 20, 19.9, 30, 30.1, 30, 25, 24.9, 40, 40, 40];
        var samples = watts.Select((w, minute) => new BalanceSample(
            DateTimeOffset.UnixEpoch.AddMinutes(minute < 10 ? minute : minute + 30), Power.FromWatts(w), Power.FromWatts(w - 5), null, BalanceSample.Reference));

        var points = SteadyStretches.Of(samples, Power.FromWatts(0.3), TimeSpan.FromMinutes(3));

        Assert.Equal([20.05, 30.1], points.Select(p => Math.Round(p.AtPse.Watts, 9)));
        Assert.Equal(15.05, points[0].WattsAtFarEnd!.Value.Watts, 1e-9);
    }

    private static ImmutableArray<BalanceSample> Points(double ohms, int count, Func<double, int, double> told) =>
    [
        .. Enumerable.Range(0, count).Select(at =>
        {
            var (watts, loop) = (Power.FromWatts(10 + (at * 50.0 / count)), Resistance.FromOhms(ohms));
            var arriving = LoopFlow.ArrivingFrom(s_volts, loop, watts);
            return new BalanceSample(DateTimeOffset.UnixEpoch.AddHours(at), watts, Power.FromWatts(told(arriving.Watts, at)), null, BalanceSample.Reference);
        }),
    ];
}
