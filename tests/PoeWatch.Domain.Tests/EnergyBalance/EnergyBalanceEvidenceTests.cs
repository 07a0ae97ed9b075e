using System.Globalization;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit;

namespace PoeWatch.Domain.Tests.EnergyBalance;

/// <summary>Drawn segments with meters that are wrong by up to 2 % and round: does the interval hold the truth as often as it says, and what growth can be told.</summary>
public sealed class EnergyBalanceEvidenceTests
{
    private const int Week = 7 * 24;

    [Fact]
    public void Interval_of_90_percent_holds_the_truth_about_as_often()
    {
        var (rounds, seed) = (EvidenceRun.Rounds(200), EvidenceRun.Seed(1));
        var all = Enumerable.Range(0, rounds).Select(number => new DrawnSegment(unchecked((seed * 100_003) + number))).Select(s => (Truth: s.TrueOhms, Estimate: Of(s.Read(Week, 0.1), 0.1))).ToArray();
        var found = all.Where(s => s.Estimate.Outcome == LoopOutcome.Found).ToArray();

        var held = found.Count(s => Math.Abs(s.Estimate.Loop!.Value.Ohms - s.Truth) <= s.Estimate.HalfWidth!.Value.Ohms) / (double)found.Length;
        var widths = found.Select(s => s.Estimate.HalfWidth!.Value.Ohms / s.Truth).Order().ToArray();

        EvidenceRun.Note("segments", all.Length);
        EvidenceRun.Note("resistance told", found.Length);
        EvidenceRun.Note("too wide to be told", all.Count(s => s.Estimate.Outcome == LoopOutcome.TooWide));
        EvidenceRun.Note("interval of 90 % holds the truth", Percent(held));
        EvidenceRun.Note("half of the interval, median", Percent(widths[widths.Length / 2]));
        EvidenceRun.Note("half of the interval, widest", Percent(widths[^1]));
        if (rounds > 200)
        {
            NoteSmallestGrowth(seed);
        }

        Assert.True(found.Length >= 0.9 * all.Length, $"Seed {seed}: only {found.Length} of {all.Length} segments have a resistance.");
        Assert.InRange(held, 0.85, 0.95);
    }

    // Growth is proven where its interval lies above nothing, so the smallest one that is proven every second time is half an interval; nine times of ten takes 1.78 times that.
    private static void NoteSmallestGrowth(int seed)
    {
        foreach (var step in new[] { 0.01, 0.1, 0.5, 1.0 })
        {
            var halves = Enumerable.Range(0, 25).Select(number => new DrawnSegment(unchecked((seed * 100_003) + 10_000 + number)))
                .Select(s => LoopGrowth.Between(Of(s.Read(Week, step), step), Of(s.Read(Week, step, growth: 1.1), step)))
                .Select(growth => growth?.HalfWidth.Fraction ?? double.PositiveInfinity).Order().ToArray();
            EvidenceRun.Note(
                string.Create(CultureInfo.InvariantCulture, $"smallest growth over two weeks, meters of {step} W: median of 25 segments"),
                double.IsFinite(halves[12]) ? Percent(halves[12]) : "none can be told");
        }
    }

    private static LoopEstimate Of(IEnumerable<BalanceSample> samples, double step) => LoopEstimator.Estimate(
        SteadyStretches.Of(samples, Power.FromWatts(Math.Max(0.2, 2.5 * step)), TimeSpan.FromMinutes(3)),
        FarEndMeter.OutputWatts,
        Voltage.FromVolts(DrawnSegment.NominalVolts),
        MeterTrust.Usual with { Step = Power.FromWatts(step) });

    private static string Percent(double share) => string.Create(CultureInfo.InvariantCulture, $"{100 * share:0.0} %");
}
