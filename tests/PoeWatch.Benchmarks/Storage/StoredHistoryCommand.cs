using System.Globalization;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Monitoring.Storage.Blocks;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Sqlite;
using PoeWatch.TestKit.Postgres;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Benchmarks.Storage;

/// <summary>
/// Draw history on both stores beside a plain binary COPY of a row per port sample, in one run: how fast port samples are taken and packed, how many bytes
/// each takes for good, how fast one port or pole comes back. <c>stored-history SWITCHES HOURS DAYS STEP</c>: SWITCHES for HOURS are written as fast as it goes;
/// two switches for DAYS are read; draws come in steps of STEP milliwatts.
/// </summary>
internal static class StoredHistoryCommand
{
    private const int Ports = 48;
    private const int PollsAtOnce = 2_000;
    private const int Runs = 15;

    private static readonly string[] s_copyStatements =
    [
        "CREATE TABLE sample (at timestamptz NOT NULL, pse_id integer NOT NULL, port smallint NOT NULL, state smallint NOT NULL, milliwatts integer NOT NULL)",
        "CREATE INDEX sample_by_port ON sample (pse_id, port, at)",
    ];

    public static async Task<int> InvokeAsync(string[] args)
    {
        var numbers = args.Select(a => int.Parse(a, CultureInfo.InvariantCulture)).ToArray();
        var (switches, hours) = (numbers.ElementAtOrDefault(0) is > 0 and var s ? s : 250, numbers.ElementAtOrDefault(1) is > 0 and var h ? h : 2);
        var (days, step) = (numbers.ElementAtOrDefault(2) is > 0 and var d ? d : 30, numbers.ElementAtOrDefault(3) is > 0 and var w ? w : 1);
        var (warmUp, polls) = (Polls(switches, 1, step, 0), Polls(switches, hours, step, 60));
        Say($"{switches} switches of {Ports} ports, {hours} hours of a poll a minute in steps of {step} mW: {polls.Count * Ports / 1e6:0.00} million port samples, {PollsAtOnce} polls a write");

        PackAlone(warmUp);
        Say(PackAlone(polls));

        var folder = Directory.CreateTempSubdirectory("poewatch-history-");
        await using var server = await TestPostgres.StartAsync(null, CancellationToken.None);
        var copied = await CopyAsync(server.ConnectionString, polls);
        await using (var postgres = new PostgresStore(new PostgresStoreOptions(server.ConnectionString), NullLogger<PostgresStore>.Instance))
        {
            await IngestAsync("PostgreSQL", postgres, warmUp, polls, copied);
            await ReadAsync("PostgreSQL", postgres, days, step, () => BlockBytesAsync(server.ConnectionString));
        }

        var path = Path.Combine(folder.FullName, "history.db");
        await using (var sqlite = new SqliteStore(new SqliteStoreOptions(path), NullLogger<SqliteStore>.Instance))
        {
            await IngestAsync("SQLite", sqlite, warmUp, polls, copied);
            await ReadAsync("SQLite", sqlite, days, step, null);
        }

        folder.Delete(recursive: true);
        return 0;
    }

    private static List<SwitchReading> Polls(int switches, int hours, int step, int begin)
    {
        var site = new SampleSite(48, Ports, step);
        return [.. Enumerable.Range(begin, hours * 60).SelectMany(m => Enumerable.Range(0, switches).Select(s => site.Poll(s, m)))];
    }

    /// <summary>What our own packing costs, without any store.</summary>
    private static string PackAlone(List<SwitchReading> polls)
    {
        var began = TimeProvider.System.GetTimestamp();
        var rows = polls.ConvertAll(p =>
        {
            var row = PollRow.Of(p, 0);
            return new StoredPoll(row, SwitchReadingCodec.Encode(p, row));
        });
        var journal = Rate(polls, began);
        var hours = rows.GroupBy(r => (r.Row.PseId, Hour: BlockRow.HourOf(r.Row.AtMicroseconds))).ToArray();
        began = TimeProvider.System.GetTimestamp();
        foreach (var hour in hours)
        {
            HistoryPacker.Pack(hour.Key.PseId, hour.Key.Hour, new HistoryPage([], [.. hour]));
        }

        return FormattableString.Invariant($"Without a store: {journal / 1e6:0.00} million port samples/s into rows of the journal, {Rate(polls, began) / 1e6:0.00} million/s from there into blocks");
    }

    /// <summary>The anchor: what a table of a row per sample costs, 96,000 rows a transaction, with the index that reading a port needs.</summary>
    /// <returns>Port samples a second.</returns>
    private static async Task<double> CopyAsync(string connectionString, List<SwitchReading> polls)
    {
        await using var connection = new NpgsqlConnection(connectionString);
        await connection.OpenAsync();
        foreach (var statement in s_copyStatements)
        {
            await ExecuteAsync(connection, statement);
        }

        var began = TimeProvider.System.GetTimestamp();
        foreach (var part in polls.Chunk(PollsAtOnce))
        {
            await using var copy = await connection.BeginBinaryImportAsync("COPY sample (at, pse_id, port, state, milliwatts) FROM STDIN (FORMAT BINARY)");
            foreach (var poll in part)
            {
                var pse = poll.PseId.GetHashCode(StringComparison.Ordinal);
                foreach (var port in poll.Ports)
                {
                    await copy.StartRowAsync();
                    await copy.WriteAsync(poll.At.UtcDateTime);
                    await copy.WriteAsync(pse);
                    await copy.WriteAsync((short)port.Port.Port);
                    await copy.WriteAsync((short)port.State);
                    await copy.WriteAsync((int)(port.DrawAtPse?.Milliwatts ?? 0));
                }
            }

            await copy.CompleteAsync();
        }

        var rate = Rate(polls, began);
        await using var size = new NpgsqlCommand("SELECT pg_total_relation_size('sample')", connection);
        Say($"COPY of a row per port sample, with index: {rate / 1e6:0.000} million port samples/s, {(long)(await size.ExecuteScalarAsync())! / (double)(polls.Count * Ports):0.0} bytes each");
        await ExecuteAsync(connection, "DROP TABLE sample");
        return rate;
    }

    private static async Task IngestAsync<TStore>(string name, TStore store, List<SwitchReading> warmUp, List<SwitchReading> polls, double copied)
        where TStore : IHistoryStore, IHistoryUpkeep
    {
        await store.PrepareAsync(CancellationToken.None);
        await store.PrepareUntilAsync(SampleSite.Start, SampleSite.Start.AddDays(1), CancellationToken.None);
        await AppendAsync(store, warmUp);
        await PackAsync(store);
        var began = TimeProvider.System.GetTimestamp();
        await AppendAsync(store, polls);
        var kept = Rate(polls, began);
        began = TimeProvider.System.GetTimestamp();
        await PackAsync(store);
        var packed = Rate(polls, began);
        var both = 1 / ((1 / kept) + (1 / packed));
        Say($"{name}: {kept / 1e6:0.00} million port samples/s kept ({kept / copied:0.0} x COPY), {packed / 1e6:0.00} million/s packed, {both / 1e6:0.00} million/s both ({both / copied:0.0} x COPY)");
    }

    private static async Task AppendAsync(IHistoryStore store, List<SwitchReading> polls)
    {
        foreach (var part in polls.Chunk(PollsAtOnce))
        {
            await store.AppendAsync(part, CancellationToken.None);
        }
    }

    // Two switches only, each as dense as it is in a large site: what one port costs to read does not depend on how many others there are.
    private static async Task ReadAsync<TStore>(string name, TStore store, int days, int step, Func<Task<long>>? bytes)
        where TStore : IHistoryStore, IHistoryUpkeep, IPortHistory
    {
        var begin = 7 * 1440;
        await store.PrepareUntilAsync(SampleSite.Start, SampleSite.Start.AddDays(days + 8), CancellationToken.None);
        var before = bytes is null ? 0 : await bytes();
        var site = new SampleSite(49, Ports, step);
        for (var minute = begin; minute < begin + (days * 1440); minute += 720)
        {
            await store.AppendAsync([.. Enumerable.Range(minute, 720).SelectMany(m => Enumerable.Range(0, 2).Select(s => site.Poll(s, m)))], CancellationToken.None);
        }

        await PackAsync(store);
        if (bytes is not null)
        {
            Say($"{name}: {(await bytes() - before) / (double)(days * 1440 * 2 * Ports):0.000} bytes a port sample for good, with index and page slack, {days} days");
        }

        var (from, to) = (SampleSite.Start.AddMinutes(begin), SampleSite.Start.AddMinutes(begin + (days * 1440)));
        foreach (var (what, ports) in new[] { ("one port", 1), ("a pole of four ports", 4), ("a whole switch", Ports) })
        {
            PsePortRef[] asked = [.. Enumerable.Range(2, ports).Select(p => new PsePortRef(SampleSite.Name(1), 1, Math.Min(p, Ports)))];
            await TimeAsync($"{name}: {what} over {days} days, {days * 1440:N0} polls, greatest of each hour", async () =>
            {
                var hours = new Dictionary<long, double>();
                await foreach (var page in store.ReadPortsAsync(SampleSite.Name(1), asked, from, to, CancellationToken.None))
                {
                    for (var i = 0; i < page.Polls.Length; i++)
                    {
                        var sum = 0.0;
                        foreach (var port in page.Ports)
                        {
                            sum += port[i].DrawAtPse?.Milliwatts ?? 0;
                        }

                        var hour = page.Polls[i].At.Ticks / TimeSpan.TicksPerHour;
                        hours[hour] = Math.Max(hours.GetValueOrDefault(hour), sum);
                    }
                }

                return hours.Count >= days * 24 ? hours.Count : throw new InvalidOperationException($"{hours.Count} hours were found: what is measured is not what is asked.");
            });
        }
    }

    private static async Task PackAsync(IHistoryUpkeep store)
    {
        while (await store.PackAsync(SampleSite.Start.AddYears(5), CancellationToken.None) > 0)
        {
        }
    }

    private static async Task<long> BlockBytesAsync(string connectionString)
    {
        await using var connection = new NpgsqlConnection(connectionString);
        await connection.OpenAsync();
        await using var size = new NpgsqlCommand("SELECT sum(pg_total_relation_size(relid))::bigint FROM pg_partition_tree('block') WHERE isleaf", connection);
        return (long)(await size.ExecuteScalarAsync())!;
    }

    private static async Task TimeAsync(string what, Func<Task<int>> work)
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

    private static async Task ExecuteAsync(NpgsqlConnection connection, string statement)
    {
        await using var command = new NpgsqlCommand(statement, connection);
        await command.ExecuteNonQueryAsync();
    }

    private static double Rate(List<SwitchReading> polls, long began) => polls.Count * Ports / TimeProvider.System.GetElapsedTime(began).TotalSeconds;

    private static void Say(FormattableString line) => Console.WriteLine(FormattableString.Invariant(line));

    private static void Say(string line) => Console.WriteLine(line);
}
