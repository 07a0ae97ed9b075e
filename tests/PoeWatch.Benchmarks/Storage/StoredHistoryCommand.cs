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
/// ten switches for DAYS are read; draws come in steps of STEP milliwatts.
/// </summary>
internal static class StoredHistoryCommand
{
    internal const int Ports = 48;
    private const int PollsAtOnce = 2_000;

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
            await StoredHistoryReads.MeasureAsync("PostgreSQL", postgres, days, step, server);
        }

        var path = Path.Combine(folder.FullName, "history.db");
        await using (var sqlite = new SqliteStore(new SqliteStoreOptions(path), NullLogger<SqliteStore>.Instance))
        {
            await IngestAsync("SQLite", sqlite, warmUp, polls, copied);
            await StoredHistoryReads.MeasureAsync("SQLite", sqlite, days, step, null);
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

    internal static async Task PackAsync(IHistoryUpkeep store)
    {
        while (await store.PackAsync(SampleSite.Start.AddYears(5), CancellationToken.None) > 0)
        {
        }
    }

    private static async Task ExecuteAsync(NpgsqlConnection connection, string statement)
    {
        await using var command = new NpgsqlCommand(statement, connection);
        await command.ExecuteNonQueryAsync();
    }

    private static double Rate(List<SwitchReading> polls, long began) => polls.Count * Ports / TimeProvider.System.GetElapsedTime(began).TotalSeconds;

    internal static void Say(FormattableString line) => Console.WriteLine(FormattableString.Invariant(line));

    private static void Say(string line) => Console.WriteLine(line);
}
