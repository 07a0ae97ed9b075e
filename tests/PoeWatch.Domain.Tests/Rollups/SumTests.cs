using System.Collections.Immutable;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using static PoeWatch.Domain.Tests.Rollups.Polls;

namespace PoeWatch.Domain.Tests.Rollups;

/// <summary>Sums of ports: known where all of them are, worked by hand and against a count of every second.</summary>
public sealed class SumTests
{
    [Fact]
    public void Example_G_a_sum_is_known_where_all_its_ports_are()
    {
        // Port a: 10 W from 0 to 10 min. Port b: 5 W from 4 to 15 min. The sum is 15 W from 4 to 10 min: 6 of 15 min, 1.5 Wh.
        var sum = StepSum.Of([Spans(Span(0, 10, Measured(10))), Spans(Span(4, 15, Measured(5)))]);
        Assert.Equal(Span(4, 10, Measured(15)), Assert.Single(sum));
        var parts = new[] { Cut(Spans(Span(0, 10, Measured(10)))), Cut(Spans(Span(4, 15, Measured(5)))) };
        var quarter = Cut(sum).WithParts(parts);
        Assert.Equal((6 / 15.0, 1.5), (quarter.Coverage, quarter.EnergyWattHours));

        // At least: 10 W for 10 min and 5 W for 11 min; 21 of 30 port minutes are known.
        Assert.Equal(((10 * 10) + (5 * 11)) / 60.0, quarter.PartsEnergyWattHours, 9);
        Assert.Equal(21 / 30.0, quarter.PartsCoverage, 12);
    }

    [Fact]
    public void A_sum_changes_when_any_of_its_ports_does()
    {
        var sum = StepSum.Of([Spans(Span(0, 5, Measured(10)), Span(5, 10, Off)), Spans(Span(0, 3, Measured(1)), Span(3, 10, Measured(2)))]);
        Assert.Equal([Span(0, 3, Measured(11)), Span(3, 5, Measured(12)), Span(5, 10, Measured(2))], sum);
    }

    [Fact]
    public void A_ceiling_makes_the_sum_a_ceiling() =>
        Assert.Equal(Span(0, 5, Ceiling(40)), Assert.Single(StepSum.Of([Spans(Span(0, 5, Measured(10))), Spans(Span(0, 5, Ceiling(30)))])));

    [Fact]
    public void A_sum_of_nothing_is_nowhere_known() => Assert.Empty(StepSum.Of([]));

    [Fact]
    public void A_part_without_a_reading_leaves_no_sum() => Assert.Empty(StepSum.Of([Spans(Span(0, 5, Measured(10))), []]));

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void A_sum_agrees_with_a_look_at_every_minute(int seed)
    {
        var random = new Random(seed);
        for (var run = 0; run < 200; run++)
        {
            var parts = Enumerable.Range(0, random.Next(1, 7)).Select(_ => Ports(random)).ToList();
            var sum = StepSum.Of(parts);
            for (var minute = 0; minute < 60; minute++)
            {
                var expected = parts.Select(p => Look(p, minute)).Aggregate((a, b) => a + b);
                var found = Look(sum, minute);
                Assert.True(
                    (expected.Provenance, expected.Watts?.Milliwatts) == (found.Provenance, found.Watts?.Milliwatts), $"seed {seed}, run {run}, minute {minute}");
            }
        }
    }

    private static KnownPower Look(ImmutableArray<DrawSpan> spans, int minute) =>
        spans.Where(s => s.Start <= At(minute) && At(minute) < s.End).Select(s => s.Power).SingleOrDefault(KnownPower.Nothing);

    private static ImmutableArray<DrawSpan> Ports(Random random)
    {
        var spans = ImmutableArray.CreateBuilder<DrawSpan>();
        for (var minute = random.Next(3); minute < 60;)
        {
            var end = minute + random.Next(1, 12);
            var power = random.Next(4) switch
            {
                0 => Off,
                1 => Ceiling(random.Next(90)),
                2 => new KnownPower(Power.FromMilliwatts(random.Next(90_000)), Provenance.Derived),
                _ => Measured(random.Next(90)),
            };
            spans.Add(Span(minute, end, power));
            minute = end + Math.Max(0, random.Next(-4, 5));
        }

        return spans.ToImmutable();
    }

    private static DrawRollup Cut(ImmutableArray<DrawSpan> spans)
    {
        var cutter = new RollupCutter([At(0), At(15)]);
        foreach (var span in spans)
        {
            cutter.Add(span.Start, span.End, span.Power);
        }

        return cutter.Finish()[0];
    }

    private static DrawSpan Span(double from, double to, KnownPower power) => new(At(from), At(to), power);

    private static ImmutableArray<DrawSpan> Spans(params DrawSpan[] spans) => [.. spans];
}
