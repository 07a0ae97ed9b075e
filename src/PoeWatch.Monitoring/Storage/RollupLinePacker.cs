using System.Buffers;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;

namespace PoeWatch.Monitoring.Storage;

/// <summary>
/// Packs the intervals of one place column by column: neighbours are alike, so most numbers are small. Columns: known times in runs of equal intervals;
/// energies as steps from the one before; how far below the mean the minimum lies; how far above it the maximum; how far below that the percentile; ceilings;
/// what is known of the parts of a sum where not all are known; the histogram.
/// </summary>
internal static class RollupLinePacker
{
    /// <summary>Energy is kept in units of 10 µWh: a mean over a quarter-hour then is good to 0.02 mW.</summary>
    private const double UnitsPerWattHour = 100_000;

    private const double SharesPerUnit = 1_000_000;

    internal static ArrayBufferWriter<byte> Pack(RollupLine line)
    {
        var output = new ArrayBufferWriter<byte>(64 + (line.Intervals.Count * 6));
        WriteKnown(output, line.Intervals);

        // Read back: means are taken over the times as they are stored, so that reading finds the same numbers.
        var input = new PackedReader(output.WrittenSpan);
        var known = ReadKnown(ref input, [.. line.Intervals.Select(i => i.Start), line.Intervals[^1].End]);
        var intervals = line.Intervals.Select((interval, i) => (Rollup: interval, Known: known[i])).ToList();
        WriteDraws(output, intervals.FindAll(static i => i.Known.OfDraws > TimeSpan.Zero));
        var before = 0L;
        foreach (var (rollup, _) in intervals.Where(static i => i.Known.OfCeilings > TimeSpan.Zero))
        {
            var ceiling = rollup.Ceiling!.Value.Milliwatts;
            output.WriteSigned(ceiling - before);
            before = ceiling;
        }

        WriteParts(output, [.. intervals.Where(static i => i.Known.OfDraws < i.Rollup.Length).Select(static i => i.Rollup)]);
        WriteHistogram(output, line.Histogram);
        return output;
    }

    internal static RollupLine Unpack(int group, int port, ReadOnlySpan<byte> columns, DateTimeOffset[] bounds)
    {
        var input = new PackedReader(columns);
        var known = ReadKnown(ref input, bounds);
        var (energies, mins, maxs, percentiles) = ReadDraws(ref input, known);
        var ceilings = new Power?[known.Length];
        var before = 0L;
        for (var i = 0; i < known.Length; i++)
        {
            ceilings[i] = known[i].OfCeilings > TimeSpan.Zero ? Power.FromMilliwatts(before += input.ReadSigned()) : null;
        }

        var hasParts = input.ReadVarint() == 1;
        var intervals = new DrawRollup[known.Length];
        for (var i = 0; i < known.Length; i++)
        {
            intervals[i] = new DrawRollup(
                bounds[i], bounds[i + 1], mins[i], maxs[i], percentiles[i], energies[i] / UnitsPerWattHour, ceilings[i], known[i]);
            if (hasParts && known[i].OfDraws < intervals[i].Length)
            {
                intervals[i] = intervals[i] with
                {
                    PartsEnergyWattHours = (energies[i] + input.ReadSigned()) / UnitsPerWattHour, PartsCoverage = input.ReadVarint() / SharesPerUnit,
                };
            }
        }

        return new RollupLine(group, port, intervals, ReadHistogram(ref input));
    }

    private static (long[] Energies, Power?[] Mins, Power?[] Maxs, Power?[] Percentiles) ReadDraws(ref PackedReader input, KnownTime[] known)
    {
        var energies = new long[known.Length];
        var (mins, maxs, percentiles) = (new Power?[known.Length], new Power?[known.Length], new Power?[known.Length]);
        var before = 0L;
        for (var i = 0; i < known.Length; i++)
        {
            energies[i] = known[i].OfDraws > TimeSpan.Zero ? before += input.ReadSigned() : 0;
        }

        for (var i = 0; i < known.Length; i++)
        {
            mins[i] = known[i].OfDraws > TimeSpan.Zero ? Power.FromMilliwatts(MeanOf(energies[i], known[i]) - input.ReadSigned()) : null;
        }

        for (var i = 0; i < known.Length; i++)
        {
            maxs[i] = known[i].OfDraws > TimeSpan.Zero ? Power.FromMilliwatts(MeanOf(energies[i], known[i]) + input.ReadSigned()) : null;
        }

        for (var i = 0; i < known.Length; i++)
        {
            if (known[i].OfDraws > TimeSpan.Zero && input.ReadVarint() is var below and > 0)
            {
                percentiles[i] = Power.FromMilliwatts(maxs[i]!.Value.Milliwatts - (long)(below - 1));
            }
        }

        return (energies, mins, maxs, percentiles);
    }

    private static void WriteDraws(ArrayBufferWriter<byte> output, List<(DrawRollup Rollup, KnownTime Known)> draws)
    {
        var before = 0L;
        foreach (var (rollup, _) in draws)
        {
            var energy = Units(rollup.EnergyWattHours);
            output.WriteSigned(energy - before);
            before = energy;
        }

        draws.ForEach(d => output.WriteSigned(MeanOf(Units(d.Rollup.EnergyWattHours), d.Known) - d.Rollup.Min!.Value.Milliwatts));
        draws.ForEach(d => output.WriteSigned(d.Rollup.Max!.Value.Milliwatts - MeanOf(Units(d.Rollup.EnergyWattHours), d.Known)));
        draws.ForEach(d => output.WriteVarint(
            d.Rollup.Percentile95 is { } percentile ? (ulong)(d.Rollup.Max!.Value.Milliwatts - percentile.Milliwatts + 1) : 0));
    }

    // Runs: count; ways known, low bit set where together they are the whole interval; of each way its number and, save for the last of a whole, milliseconds.
    private static void WriteKnown(ArrayBufferWriter<byte> output, IReadOnlyList<DrawRollup> intervals)
    {
        for (var i = 0; i < intervals.Count;)
        {
            var (known, length) = (intervals[i].Known, intervals[i].Length);
            var run = 1;
            while (i + run < intervals.Count && intervals[i + run].Known == known && intervals[i + run].Length == length)
            {
                run++;
            }

            output.WriteVarint((ulong)run);
            var ways = Ways(known);
            var isWhole = known.OfDraws + known.OfCeilings == length;
            output.WriteVarint((ulong)((ways.Count << 1) | (isWhole ? 1 : 0)));
            for (var way = 0; way < ways.Count; way++)
            {
                output.WriteVarint((ulong)ways[way]);
                if (!isWhole || way < ways.Count - 1)
                {
                    // Known for less than half a millisecond is known still.
                    output.WriteVarint((ulong)Math.Max(1, Math.Round(known.Of(ways[way]).TotalMilliseconds)));
                }
            }

            i += run;
        }
    }

    private static KnownTime[] ReadKnown(ref PackedReader input, DateTimeOffset[] bounds)
    {
        var known = new KnownTime[bounds.Length - 1];
        for (var i = 0; i < known.Length;)
        {
            var run = input.ReadInt("run");
            var tag = input.ReadInt("ways");
            if (run == 0 || run > known.Length - i || tag >> 1 > KnownTime.Counted.Length)
            {
                throw new InvalidDataException($"a run of {run} intervals known in {tag >> 1} ways does not fit");
            }

            var length = bounds[i + 1] - bounds[i];
            var time = default(KnownTime);
            for (var way = 0; way < tag >> 1; way++)
            {
                var provenance = (Provenance)input.ReadInt("provenance");
                var isRest = (tag & 1) == 1 && way == (tag >> 1) - 1;
                time += KnownTime.For(provenance, isRest ? Rest(length, time) : TimeSpan.FromMilliseconds(input.ReadInt("milliseconds"), 0));
            }

            Array.Fill(known, time, i, run);
            i += run;
        }

        return known;
    }

    // Never nothing: what was known for less than the rounding of the others is known still.
    private static TimeSpan Rest(TimeSpan length, KnownTime others) =>
        TimeSpan.FromTicks(Math.Max(1, (length - others.OfDraws - others.OfCeilings).Ticks));

    private static List<Provenance> Ways(KnownTime known)
    {
        var ways = new List<Provenance>();
        foreach (var provenance in KnownTime.Counted)
        {
            if (known.Of(provenance) > TimeSpan.Zero)
            {
                ways.Add(provenance);
            }
        }

        return ways;
    }

    private static void WriteParts(ArrayBufferWriter<byte> output, List<DrawRollup> covered)
    {
        var hasParts = covered.Exists(i => i.PartsCoverage != i.Coverage || i.PartsEnergyWattHours != i.EnergyWattHours);
        output.WriteVarint(hasParts ? 1UL : 0);
        foreach (var interval in hasParts ? covered : [])
        {
            output.WriteSigned(Units(interval.PartsEnergyWattHours) - Units(interval.EnergyWattHours));
            output.WriteVarint((ulong)Math.Round(interval.PartsCoverage * SharesPerUnit));
        }
    }

    private static void WriteHistogram(ArrayBufferWriter<byte> output, DrawHistogram? histogram)
    {
        output.WriteVarint(histogram is null ? 0 : (ulong)histogram.Bins.Length + 1);
        var before = 0L;
        foreach (var (bin, time) in histogram?.Bins ?? [])
        {
            output.WriteSigned(bin - before);
            output.WriteVarint((ulong)Math.Round(time.TotalSeconds));
            before = bin;
        }
    }

    private static DrawHistogram? ReadHistogram(ref PackedReader input)
    {
        var count = input.ReadVarint();
        if (count == 0)
        {
            return null;
        }

        var histogram = new DrawHistogram();
        var bin = 0L;
        for (var i = 1UL; i < count; i++)
        {
            bin = checked(bin + input.ReadSigned());
            histogram.Add(checked((int)bin), TimeSpan.FromSeconds(input.ReadInt("seconds")));
        }

        return histogram;
    }

    private static long Units(double wattHours) => (long)Math.Round(wattHours * UnitsPerWattHour);

    private static long MeanOf(long units, KnownTime known) =>
        (long)Math.Round(units * 1_000 / UnitsPerWattHour / known.OfDraws.TotalHours);

    private static void WriteSigned(this ArrayBufferWriter<byte> output, long value) => output.WriteVarint((ulong)((value << 1) ^ (value >> 63)));

    private static long ReadSigned(this ref PackedReader input)
    {
        var value = input.ReadVarint();
        return (long)(value >> 1) ^ -(long)(value & 1);
    }
}
