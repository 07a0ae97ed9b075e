using System.Collections.Immutable;
using CsCheck;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Tests.Evidence;

/// <summary>Sums of several ports, and what holds of every series.</summary>
public sealed class DrawSpansTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    private static readonly Gen<DrawSample[]> Samples = Gen.Select(
        Gen.Int[1, 400],
        Gen.Double[0, 90],
        Gen.Int[0, 4].Select(i => new[] { Provenance.Measured, Provenance.Measured, Provenance.Off, Provenance.ClassBound, Provenance.Unknown }[i])).Array[0, 60].Select(parts =>
        {
            var at = Start.AddMinutes(-5);
            return parts.Select(p => new DrawSample(at = at.AddSeconds(p.Item1), Power(p.Item2, p.Item3))).ToArray();
        });

    [Fact]
    public void A_pole_of_two_ports_is_known_only_where_both_are()
    {
        var a = Spans((0, 10, Provenance.Measured), (1, 10, Provenance.Measured), (2, 12, Provenance.Measured));
        var b = Spans((0.5, 5, Provenance.Measured), (1.5, 0, Provenance.Unknown), (2, 6, Provenance.Measured));
        var sum = DrawSpans.Sum([a, b]);
        Assert.Equal([(30.0, 60.0, 15.0), (60.0, 90.0, 15.0), (120.0, 180.0, 18.0)], sum.Select(Seconds));
    }

    [Fact]
    public void A_sum_is_no_better_known_than_its_weakest_part()
    {
        var sum = DrawSpans.Sum([Spans((0, 10, Provenance.Measured)), Spans((0, 15.4, Provenance.ClassBound)), Spans((0, 0, Provenance.Off))]);
        var power = Assert.Single(sum).Power;
        Assert.Equal(25.4, power.Watts!.Value.Watts, 9);
        Assert.Equal(Provenance.ClassBound, power.Provenance);
    }

    [Fact]
    public void A_port_that_a_poll_leaves_out_is_unknown_and_one_that_is_off_is_0_W()
    {
        var here = new PsePortRef("quay-west", 1, 1);
        var reading = new SwitchReading(
            "quay-west", 1, Start, PollOutcome.Partial, "", null,
            [new PortReading(here, PortState.Searching, Domain.Quantities.Power.Zero, Provenance.Off, null)], []);
        Assert.Equal(new DrawSample(Start, Power(0, Provenance.Off)), DrawSample.OfPort(reading, here));
        Assert.Equal(KnownPower.Nothing, DrawSample.OfPort(reading, here with { Port = 2 }).Power);
    }

    [Fact]
    public void Spans_never_overlap_and_never_outlast_3_periods()
    {
        Samples.Sample(samples =>
        {
            var spans = DrawSpans.From(samples, Minute);
            Assert.All(spans, s => Assert.InRange(s.Duration.TotalSeconds, double.Epsilon, 180));
            Assert.All(spans.Zip(spans.Skip(1)), pair => Assert.True(pair.First.End <= pair.Second.Start));
        });
    }

    [Fact]
    public void Energy_and_covered_time_do_not_depend_on_the_step()
    {
        Samples.Sample(samples =>
        {
            var spans = DrawSpans.From(samples, Minute);
            var whole = Assert.Single(DrawSeries.Of(spans, Start, Start.AddHours(2), TimeSpan.FromHours(2)));
            var fine = DrawSeries.Of(spans, Start, Start.AddHours(2), TimeSpan.FromSeconds(80));
            Assert.Equal(whole.EnergyWattHours, DrawSeries.EnergyWattHours(fine), 6);
            Assert.Equal(whole.Coverage, fine.Average(s => s.Coverage), 9);
            Assert.Equal(whole.CeilingCoverage, fine.Average(s => s.CeilingCoverage), 9);
            Assert.All(fine, s => Assert.InRange(s.Coverage + s.CeilingCoverage, 0, 1));
            Assert.All(fine.Where(s => s.Mean is not null), s => Assert.InRange(s.Mean!.Value.Watts, s.Min!.Value.Watts - 1e-9, s.Max!.Value.Watts + 1e-9));
        });
    }

    [Fact]
    public void A_sum_does_not_depend_on_the_order_of_its_parts()
    {
        Gen.Select(Samples, Samples, Samples).Sample((a, b, c) =>
        {
            ImmutableArray<DrawSpan>[] parts = [DrawSpans.From(a, Minute), DrawSpans.From(b, Minute), DrawSpans.From(c, Minute)];
            var one = DrawSeries.Of(DrawSpans.Sum(parts), Start, Start.AddHours(2), Minute);
            var other = DrawSeries.Of(DrawSpans.Sum([parts[2], parts[0], parts[1]]), Start, Start.AddHours(2), Minute);
            Assert.All(one.Zip(other), pair =>
            {
                Assert.Equal(pair.First.EnergyWattHours, pair.Second.EnergyWattHours, 9);
                Assert.Equal(pair.First.Coverage, pair.Second.Coverage, 12);
                Assert.Equal(pair.First.Provenance, pair.Second.Provenance);
            });
        });
    }

    private static KnownPower Power(double watts, Provenance provenance) => provenance == Provenance.Unknown
        ? KnownPower.Nothing
        : new KnownPower(Domain.Quantities.Power.FromWatts(provenance == Provenance.Off ? 0 : watts), provenance);

    private static ImmutableArray<DrawSpan> Spans(params (double Minute, double Watts, Provenance Provenance)[] samples) =>
        DrawSpans.From(samples.Select(s => new DrawSample(Start.AddMinutes(s.Minute), Power(s.Watts, s.Provenance))), Minute);

    private static (double Start, double End, double Watts) Seconds(DrawSpan span) =>
        ((span.Start - Start).TotalSeconds, (span.End - Start).TotalSeconds, span.Power.Watts!.Value.Watts);
}
