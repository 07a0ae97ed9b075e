using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Tests.Codec;

/// <summary>Rollups come back as they were packed: powers to the milliwatt, energies to 0.1 mWh, times to the millisecond.</summary>
public sealed class RollupCodecTests
{
    private static readonly DateTimeOffset s_start = new(2026, 10, 24, 22, 0, 0, TimeSpan.Zero);
    private static readonly RollupSubject s_subject = new(RollupKind.Ports, "quay-west");

    [Theory]
    [InlineData(RollupStep.QuarterHour, 100)]
    [InlineData(RollupStep.Hour, 25)]
    [InlineData(RollupStep.Day, 1)]
    public void A_day_of_25_hours_comes_back(RollupStep step, int count)
    {
        var end = s_start.AddHours(25);
        for (var seed = 0; seed < 40; seed++)
        {
            var random = new Random(seed);
            RollupLine[] lines = [.. Enumerable.Range(1, 6).Select(port => Line(random, port, step, end))];
            var block = RollupCodec.Encode(s_subject, step, s_start, end, lines);
            var found = RollupCodec.Decode(block);
            Assert.Equal(lines.Select(l => (l.Group, l.Port, count)), found.Select(l => (l.Group, l.Port, l.Intervals.Count)));
            for (var i = 0; i < lines.Length; i++)
            {
                Assert.All(lines[i].Intervals.Zip(found[i].Intervals), pair => Same(pair.First, pair.Second, seed));
                Assert.Equal(
                    lines[i].Histogram?.Bins.Select(b => (b.Key, Math.Round(b.Value.TotalSeconds))), found[i].Histogram?.Bins.Select(b => (b.Key, b.Value.TotalSeconds)));
                Assert.Equal(found[i].Intervals, RollupCodec.Decode(block, 1, i + 1)!.Intervals);
            }

            Assert.Null(RollupCodec.Decode(block, 1, 7));
        }
    }

    [Fact]
    public void Packing_what_came_back_gives_the_same_bytes()
    {
        var random = new Random(7);
        var end = s_start.AddDays(1);
        var block = RollupCodec.Encode(s_subject, RollupStep.QuarterHour, s_start, end, [Line(random, 1, RollupStep.QuarterHour, end)]);
        Assert.Equal(block.Payload.ToArray(), RollupCodec.Encode(s_subject, RollupStep.QuarterHour, s_start, end, [.. RollupCodec.Decode(block)]).Payload.ToArray());
    }

    [Fact]
    public void Any_changed_byte_is_found()
    {
        var end = s_start.AddDays(1);
        var block = RollupCodec.Encode(s_subject, RollupStep.Hour, s_start, end, [Line(new Random(3), 1, RollupStep.Hour, end)]);
        for (var i = 0; i < block.Payload.Length; i++)
        {
            var bytes = block.Payload.ToArray();
            bytes[i] ^= (byte)(1 << (i % 8));
            Assert.Throws<StoreException>(() => RollupCodec.Decode(block with { Payload = bytes }));
            Assert.Throws<StoreException>(() => RollupCodec.Decode(block with { Payload = block.Payload[..i] }));
        }
    }

    private static void Same(DrawRollup expected, DrawRollup found, int seed)
    {
        Assert.True((expected.Start, expected.End, expected.Provenance, expected.IsGap) == (found.Start, found.End, found.Provenance, found.IsGap), $"seed {seed}");
        Assert.Equal(
            (expected.Min?.Milliwatts, expected.Max?.Milliwatts, expected.Percentile95?.Milliwatts, expected.Ceiling?.Milliwatts),
            (found.Min?.Milliwatts, found.Max?.Milliwatts, found.Percentile95?.Milliwatts, found.Ceiling?.Milliwatts));
        Assert.Equal(expected.EnergyWattHours, found.EnergyWattHours, 0.000_051);
        Assert.Equal(expected.PartsEnergyWattHours, found.PartsEnergyWattHours, 0.000_101);
        Assert.Equal(expected.PartsCoverage, found.PartsCoverage, 0.000_01);
        Assert.Equal(expected.Coverage == 1, found.Coverage == 1);
        foreach (var provenance in KnownTime.Counted)
        {
            Assert.True((expected.Known.Of(provenance) - found.Known.Of(provenance)).Duration() < TimeSpan.FromMilliseconds(8), $"seed {seed}");
        }
    }

    private static RollupLine Line(Random random, int port, RollupStep step, DateTimeOffset end)
    {
        var cutter = new RollupCutter(step.Bounds(s_start, end));
        var histogram = step == RollupStep.Day ? new DrawHistogram() : null;
        for (var at = s_start; at < end;)
        {
            var until = at.AddTicks(random.Next(5) == 0 ? random.NextInt64(1, TimeSpan.TicksPerHour * 3) : TimeSpan.TicksPerMinute + random.Next(20_000));
            until = until < end ? until : end;
            var power = random.Next(port * 8) switch
            {
                0 => KnownPower.Nothing,
                1 => new KnownPower(Power.Zero, Provenance.Off),
                2 => new KnownPower(Power.FromMilliwatts(random.Next(90_000)), Provenance.ClassBound),
                3 => new KnownPower(Power.FromMilliwatts(random.Next(90_000)), Provenance.Estimated),
                4 => new KnownPower(Power.FromMilliwatts(-random.Next(90)), Provenance.Measured),
                _ => new KnownPower(Power.FromMilliwatts(7_000 + random.Next(60)), Provenance.Measured),
            };
            cutter.Add(at, until, power);
            if (power.Provenance.IsDraw())
            {
                histogram?.Add(DrawHistogram.BinOf(power.Watts!.Value.Milliwatts), until - at);
            }

            at = until;
        }

        IReadOnlyList<DrawRollup> intervals = cutter.Finish();
        return new RollupLine(1, port, port % 2 == 0 ? intervals : [.. intervals.Select(i => i.Coverage < 1
            ? i with { PartsEnergyWattHours = i.EnergyWattHours + 3.25, PartsCoverage = (1 + i.Coverage) / 2 }
            : i)], histogram);
    }
}
