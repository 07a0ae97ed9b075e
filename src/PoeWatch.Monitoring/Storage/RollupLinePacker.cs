using System.Buffers;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Storage.Blocks;

namespace PoeWatch.Monitoring.Storage;

/// <summary>
/// Packs the intervals of one place column by column: neighbours are alike, so most numbers are small. Columns: known times in runs of equal intervals; then
/// as number columns energies, how far below the mean the minimum lies, how far above it the maximum, how far below that the percentile, ceilings, what is
/// known of the parts of a sum where not all are known; the histogram.
/// </summary>
internal static class RollupLinePacker
{
    /// <summary>Energy is kept in units of 0.1 mWh: a mean over a quarter-hour then is good to 0.2 mW.</summary>
    private const double UnitsPerWattHour = 10_000;

    private const double SharesPerUnit = 1_000_000;

    internal static ArrayBufferWriter<byte> Pack(RollupLine line)
    {
        var output = new ArrayBufferWriter<byte>(64 + (line.Intervals.Count * 4));
        WriteKnown(output, line.Intervals);

        // Read back: means are taken over the times as they are stored, so that reading finds the same numbers.
        var input = new PackedReader(output.WrittenSpan);
        var known = ReadKnown(ref input, [.. line.Intervals.Select(i => i.Start), line.Intervals[^1].End]);
        var intervals = line.Intervals.Select((interval, i) => (Rollup: interval, Known: known[i])).ToList();
        WriteDraws(output, intervals.FindAll(static i => i.Known.OfDraws > TimeSpan.Zero));
        NumberColumn.Write(output, [.. intervals.Where(static i => i.Known.OfCeilings > TimeSpan.Zero).Select(static i => i.Rollup.Ceiling!.Value.Milliwatts)]);
        WriteParts(output, [.. intervals.Where(static i => i.Known.OfDraws < i.Rollup.Length).Select(static i => i.Rollup)]);
        WriteHistogram(output, line.Histogram);
        return output;
    }

    internal static RollupLine Unpack(int group, int port, ReadOnlySpan<byte> columns, DateTimeOffset[] bounds, bool withHistogram)
    {
        var input = new PackedReader(columns);
        var known = ReadKnown(ref input, bounds);
        var (draws, ceilings, covered) = (0, 0, 0);
        for (var i = 0; i < known.Length; i++)
        {
            draws += known[i].OfDraws > TimeSpan.Zero ? 1 : 0;
            ceilings += known[i].OfCeilings > TimeSpan.Zero ? 1 : 0;
            covered += known[i].OfDraws < bounds[i + 1] - bounds[i] ? 1 : 0;
        }

        Span<long> numbers = new long[(4 * draws) + ceilings + (2 * covered)];
        Span<long> energies = numbers[..draws], belows = numbers.Slice(draws, draws), aboves = numbers.Slice(2 * draws, draws), percentiles = numbers.Slice(3 * draws, draws);
        NumberColumn.Read(ref input, energies);
        NumberColumn.Read(ref input, belows);
        NumberColumn.Read(ref input, aboves);
        NumberColumn.Read(ref input, percentiles);
        Span<long> tops = numbers.Slice(4 * draws, ceilings);
        NumberColumn.Read(ref input, tops);
        Span<long> partEnergies = numbers.Slice((4 * draws) + ceilings, covered), partShares = numbers[^covered..];
        var hasParts = input.ReadVarint() == 1;
        if (hasParts)
        {
            NumberColumn.Read(ref input, partEnergies);
            NumberColumn.Read(ref input, partShares);
        }

        var intervals = new DrawRollup[known.Length];
        for (int i = 0, draw = 0, top = 0, part = 0; i < intervals.Length; i++)
        {
            var isDrawn = known[i].OfDraws > TimeSpan.Zero;
            var mean = isDrawn ? MeanOf(energies[draw], known[i]) : 0;
            var max = isDrawn ? mean + aboves[draw] : 0;
            intervals[i] = new DrawRollup(
                bounds[i],
                bounds[i + 1],
                isDrawn ? Power.FromMilliwatts(mean - belows[draw]) : null,
                isDrawn ? Power.FromMilliwatts(max) : null,
                isDrawn && percentiles[draw] > 0 ? Power.FromMilliwatts(max - percentiles[draw] + 1) : null,
                isDrawn ? energies[draw] / UnitsPerWattHour : 0,
                known[i].OfCeilings > TimeSpan.Zero ? Power.FromMilliwatts(tops[top++]) : null,
                known[i]);
            if (hasParts && known[i].OfDraws < intervals[i].Length)
            {
                intervals[i] = intervals[i] with
                {
                    PartsEnergyWattHours = intervals[i].EnergyWattHours + (partEnergies[part] / UnitsPerWattHour),
                    PartsCoverage = partShares[part++] / SharesPerUnit,
                };
            }

            draw += isDrawn ? 1 : 0;
        }

        return new RollupLine(group, port, intervals, withHistogram ? ReadHistogram(ref input) : null);
    }

    private static void WriteDraws(ArrayBufferWriter<byte> output, List<(DrawRollup Rollup, KnownTime Known)> draws)
    {
        NumberColumn.Write(output, [.. draws.Select(static d => Units(d.Rollup.EnergyWattHours))]);
        NumberColumn.Write(output, [.. draws.Select(static d => MeanOf(Units(d.Rollup.EnergyWattHours), d.Known) - d.Rollup.Min!.Value.Milliwatts)]);
        NumberColumn.Write(output, [.. draws.Select(static d => d.Rollup.Max!.Value.Milliwatts - MeanOf(Units(d.Rollup.EnergyWattHours), d.Known))]);
        NumberColumn.Write(output, [.. draws.Select(static d =>
            d.Rollup.Percentile95 is { } percentile ? d.Rollup.Max!.Value.Milliwatts - percentile.Milliwatts + 1 : 0)]);
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
                var provenance = PortTag.CheckedProvenance(input.ReadInt("provenance"));
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
        if (hasParts)
        {
            NumberColumn.Write(output, [.. covered.Select(static i => Units(i.PartsEnergyWattHours) - Units(i.EnergyWattHours))]);
            NumberColumn.Write(output, [.. covered.Select(static i => (long)Math.Round(i.PartsCoverage * SharesPerUnit))]);
        }
    }

    private static void WriteHistogram(ArrayBufferWriter<byte> output, DrawHistogram? histogram)
    {
        output.WriteVarint(histogram is null ? 0 : (ulong)histogram.Bins.Length + 1);
        NumberColumn.Write(output, [.. (histogram?.Bins ?? []).Select(static b => (long)b.Key)]);
        NumberColumn.Write(output, [.. (histogram?.Bins ?? []).Select(static b => (long)Math.Round(b.Value.TotalSeconds))]);
    }

    private static DrawHistogram? ReadHistogram(ref PackedReader input)
    {
        var count = input.ReadInt("bins");
        if (count == 0)
        {
            return null;
        }

        // A number column of equal numbers takes no room, so the count alone bounds nothing: a day has no more bins than seconds.
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, 100_000);
        var (bins, seconds) = (new long[count - 1], new long[count - 1]);
        NumberColumn.Read(ref input, bins);
        NumberColumn.Read(ref input, seconds);
        var histogram = new DrawHistogram();
        for (var i = 0; i < bins.Length; i++)
        {
            histogram.Add(checked((int)bins[i]), TimeSpan.FromSeconds(seconds[i], 0));
        }

        return histogram;
    }

    private static long Units(double wattHours) => (long)Math.Round(wattHours * UnitsPerWattHour);

    private static long MeanOf(long units, KnownTime known) =>
        (long)Math.Round(units * 1_000 / UnitsPerWattHour / known.OfDraws.TotalHours);
}
