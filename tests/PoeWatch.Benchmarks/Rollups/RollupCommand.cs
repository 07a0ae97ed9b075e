using System.Globalization;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Sqlite;
using PoeWatch.TestKit.Postgres;

namespace PoeWatch.Benchmarks.Rollups;

/// <summary>
/// The long queries from rollups on both stores: a year of one switch with its poles made from made-up polls, and a week of the days of many switches.
/// <c>rollups DAYS SWITCHES…</c>: the week is measured at each number of switches, so that the scaling shows.
/// </summary>
internal static class RollupCommand
{
    private const int Runs = 15;

    private static readonly TimeZoneInfo s_zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
    private static readonly DateTimeOffset s_end = LocalDay.Of(new DateOnly(2026, 11, 1), s_zone).Start;

    public static async Task<int> InvokeAsync(string[] args)
    {
        var days = int.Parse(args.ElementAtOrDefault(0) ?? "365", CultureInfo.InvariantCulture);
        int[] switches = args.Length > 1 ? [.. args.Skip(1).Select(a => int.Parse(a, CultureInfo.InvariantCulture))] : [125, 250, 500];
        var folder = Directory.CreateTempSubdirectory("poewatch-rollups-");
        var path = Path.Combine(folder.FullName, "history.db");
        await using (var sqlite = new SqliteStore(new SqliteStoreOptions(path), NullLogger<SqliteStore>.Instance))
        {
            await sqlite.PrepareAsync(CancellationToken.None);
            await MeasureAsync("SQLite", sqlite, days, switches, () => Task.FromResult(new FileInfo(path).Length));
        }

        folder.Delete(recursive: true);
        await using var server = await TestPostgres.StartAsync(null, CancellationToken.None);
        await using var postgres = new PostgresStore(new PostgresStoreOptions(server.ConnectionString), NullLogger<PostgresStore>.Instance);
        await postgres.PrepareAsync(CancellationToken.None);
        await MeasureAsync("PostgreSQL", postgres, days, switches, async () =>
        {
            await using var connection = new NpgsqlConnection(server.ConnectionString);
            await connection.OpenAsync();
            await using var command = new NpgsqlCommand("SELECT pg_total_relation_size('rollup')", connection);
            return (long)(await command.ExecuteScalarAsync())!;
        });
        return 0;
    }

    private static async Task MeasureAsync(string name, IRollupStore store, int days, int[] switches, Func<Task<long>> bytes)
    {
        var designs = new DesignTimeline(new NoDesigns(), new NoDesigns(), SyntheticHistory.View(SyntheticHistory.Design()));
        var maker = new RollupMaker(new SyntheticHistory(), store);
        var reader = new RollupReader(store, maker, designs);
        var writer = new RollupWriter(maker, store, new StandingTime());
        var (before, began) = (await bytes(), TimeProvider.System.GetTimestamp());
        DateTimeOffset[] bounds = [.. Enumerable.Range(0, days + 1).Select(d => LocalDay.Of(new DateOnly(2026, 11, 1).AddDays(d - days), s_zone).Start)];
        for (var day = 0; day < days; day++)
        {
            var window = RollupWindow.OfDay(bounds[day], bounds[day + 1]);
            await writer.WriteAsync(window, await designs.ReadAsync(window.Start, window.End, CancellationToken.None), CancellationToken.None);
        }

        await store.SaveRollupFrontierAsync(new RollupFrontier(s_end, s_end), CancellationToken.None);
        var samples = (s_end - bounds[0]).TotalMinutes * SyntheticHistory.Ports;
        Say($"{name}: {days} days of a switch of 48 ports, 12 poles and the site rolled up at {samples / TimeProvider.System.GetElapsedTime(began).TotalSeconds / 1e6:0.00} million port samples/s, polls made up meanwhile; {(await bytes() - before) / samples:0.000} bytes a port sample on disk");
        Say($"  payload alone: {await PayloadAsync(store, bounds[0]) / samples:0.000}");

        var port = new PsePortRef(SyntheticHistory.Switch, 1, 9);
        await TimeAsync($"{name}: histogram of a port over {days} days", () => reader.HistogramAsync(port, bounds[0], s_end, CancellationToken.None));
        await TimeAsync($"{name}: hourly maxima of a pole over 30 days", () => HoursAsync(reader, DrawPlace.OfPole("pole-9"), s_end.AddDays(-30)));
        await TimeAsync($"{name}: hourly maxima of a pole over {days} days", () => HoursAsync(reader, DrawPlace.OfPole("pole-9"), bounds[0]));
        await TimeAsync($"{name}: hourly maxima of a switch over {days} days", () => HoursAsync(reader, DrawPlace.OfSwitch(SyntheticHistory.Switch), bounds[0]));
        await TimeAsync($"{name}: hourly maxima of a port over {days} days", () => HoursAsync(reader, DrawPlace.OfPort(port), bounds[0]));

        var filled = 1;
        foreach (var count in switches.Order())
        {
            for (; filled < count; filled++)
            {
                await store.SaveRollupsAsync(WeekOf(filled), CancellationToken.None);
            }

            await TimeAsync(
                $"{name}: top 20 draws in a week of {count} switches",
                () => reader.TopAsync(bounds[^8], s_end, d => d.Max?.Watts, 20, CancellationToken.None));
        }
    }

    private static async Task<int> HoursAsync(RollupReader reader, DrawPlace place, DateTimeOffset from)
    {
        var (count, max) = (0, 0.0);
        await foreach (var hour in reader.IntervalsAsync(place, RollupStep.Hour, from, s_end, CancellationToken.None))
        {
            count++;
            max = Math.Max(max, hour.Max?.Watts ?? 0);
        }

        return max > 0 ? count : throw new InvalidOperationException("Nothing was found: what is measured is not what is asked.");
    }

    private static async Task<long> PayloadAsync(IRollupStore store, DateTimeOffset from)
    {
        var bytes = 0L;
        foreach (var kind in new[] { RollupKind.Ports, RollupKind.Switch, RollupKind.Pole, RollupKind.Site })
        {
            foreach (var step in new[] { RollupStep.QuarterHour, RollupStep.Hour, RollupStep.Day })
            {
                var part = 0L;
                await foreach (var block in store.ReadRollupsAsync(kind, step, from, s_end, CancellationToken.None))
                {
                    part += block.Payload.Length;
                }

                Say($"  {kind} by {step.Name()}: {part / 1024.0:0} KiB");
                bytes += part;
            }
        }

        return bytes;
    }

    // Days only: that is what ranks are made of. Quarter-hours of draws that wander, so that histograms have some bins.
    private static List<RollupBlock> WeekOf(int number)
    {
        var random = new Random(number);
        var blocks = new List<RollupBlock>();
        for (var day = 7; day > 0; day--)
        {
            var (start, end) = (s_end.AddDays(-day), s_end.AddDays(1 - day));
            blocks.Add(RollupCodec.Encode(
                new RollupSubject(RollupKind.Ports, $"switch-{number}"), RollupStep.Day, start, end,
                [.. Enumerable.Range(1, SyntheticHistory.Ports).Select(p => DayOf(random, p, start, end))]));
        }

        return blocks;
    }

    private static RollupLine DayOf(Random random, int port, DateTimeOffset start, DateTimeOffset end)
    {
        var (cutter, histogram) = (new RollupCutter([start, end]), new DrawHistogram());
        var watts = 4 + (random.NextDouble() * 20);
        for (var at = start; at < end; at += RollupSteps.QuarterHour)
        {
            var power = Power.FromMilliwatts(Math.Round(1000 * (watts + (2 * random.NextDouble()))));
            cutter.Add(at, at + RollupSteps.QuarterHour, new KnownPower(power, Provenance.Measured));
            histogram.Add(DrawHistogram.BinOf(power.Milliwatts), RollupSteps.QuarterHour);
        }

        return new RollupLine(1, port, cutter.Finish(), histogram);
    }

    private static async Task TimeAsync<T>(string what, Func<Task<T>> work)
    {
        var times = new List<double>();
        for (var run = 0; run < Runs; run++)
        {
            var began = TimeProvider.System.GetTimestamp();
            await work();
            times.Add(TimeProvider.System.GetElapsedTime(began).TotalMilliseconds);
        }

        var first = times[0];
        times.Sort();
        Say($"{what}: median {times[Runs / 2]:0.0} ms, least {times[0]:0.0} ms, first {first:0.0} ms");
    }

    private static void Say(string line) => Console.WriteLine(line);
}
