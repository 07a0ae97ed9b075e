using Npgsql;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.TestKit.Postgres;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Benchmarks.Storage;

/// <summary>
/// Reads ports out of weeks of history, warm and, where this process may empty the operating system's cache of files, cold. Ten switches: what one port costs to read
/// does not depend on how many others there are.
/// </summary>
internal static class StoredHistoryReads
{
    private const int Runs = 15;
    private const int Begin = 7 * 1440;
    private const int Switches = 10;
    private const string Caches = "/proc/sys/vm/drop_caches";

    internal static async Task MeasureAsync<TStore>(string name, TStore store, int days, int step, TestPostgres? server)
        where TStore : IHistoryStore, IHistoryUpkeep, IPortHistory
    {
        await store.PrepareUntilAsync(SampleSite.Start, SampleSite.Start.AddDays(days + 8), CancellationToken.None);
        var before = await BlockBytesAsync(server);
        var site = new SampleSite(49, StoredHistoryCommand.Ports, step);
        for (var minute = Begin; minute < Begin + (days * 1440); minute += 120)
        {
            await store.AppendAsync([.. Enumerable.Range(minute, 120).SelectMany(m => Enumerable.Range(0, Switches).Select(s => site.Poll(s, m)))], CancellationToken.None);
        }

        await StoredHistoryCommand.PackAsync(store);
        if (server is not null)
        {
            var (rows, indices) = await BlockBytesAsync(server);
            var samples = days * 1440.0 * Switches * StoredHistoryCommand.Ports;
            StoredHistoryCommand.Say($"{name}: {(rows - before.Rows) / samples:0.000} bytes a port sample for good in rows with page slack and {(indices - before.Indices) / samples:0.000} in the index, {days} days");
        }

        foreach (var (what, ports) in new[] { ("one port", 1), ("a pole of four ports", 4), ("a whole switch", StoredHistoryCommand.Ports) })
        {
            var times = new List<double>();
            for (var run = 0; run < Runs; run++)
            {
                times.Add(await ReadAsync(store, ports, days));
            }

            times.Sort();
            var cold = await ChillAsync(store, server) ? FormattableString.Invariant($"{await ReadAsync(store, ports, days):0.0} ms") : "not measured";
            StoredHistoryCommand.Say($"{name}: {what} over {days} days, {days * 1440} polls, greatest of each hour: median {times[Runs / 2]:0.0} ms, least {times[0]:0.0} ms, cold {cold}");
        }
    }

    /// <returns>Milliseconds.</returns>
    private static async Task<double> ReadAsync(IPortHistory store, int ports, int days)
    {
        PsePortRef[] asked = [.. Enumerable.Range(2, ports).Select(p => new PsePortRef(SampleSite.Name(1), 1, Math.Min(p, StoredHistoryCommand.Ports)))];
        var (from, hours) = (SampleSite.Start.AddMinutes(Begin), new Dictionary<long, double>());
        var began = TimeProvider.System.GetTimestamp();
        await foreach (var page in store.ReadPortsAsync(SampleSite.Name(1), asked, from, from.AddDays(days), CancellationToken.None))
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

        var time = TimeProvider.System.GetElapsedTime(began).TotalMilliseconds;
        return hours.Count >= days * 24 ? time : throw new InvalidOperationException($"{hours.Count} hours were found: what is measured is not what is asked.");
    }

    // A server that started anew and files that nobody has read since. A first small question makes the connection, which is no part of the reading.
    private static async Task<bool> ChillAsync(IHistoryStore store, TestPostgres? server)
    {
        if (server is not null)
        {
            if (server.Local is not { } local)
            {
                return false;
            }

            await local.StopAsync(PostgresStop.Fast, CancellationToken.None);
            await local.StartAsync(CancellationToken.None);
            NpgsqlConnection.ClearAllPools();
        }

        try
        {
            await File.WriteAllTextAsync(Caches, "1");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return false;
        }

        for (var attempt = 0; ; attempt++)
        {
            try
            {
                await store.PrepareAsync(CancellationToken.None);
                return true;
            }
            catch (StoreException) when (attempt < 5)
            {
                // The pool had connections to the server that was stopped.
            }
        }
    }

    private static async Task<(long Rows, long Indices)> BlockBytesAsync(TestPostgres? server)
    {
        if (server is null)
        {
            return default;
        }

        await using var connection = new NpgsqlConnection(server.ConnectionString);
        await connection.OpenAsync();
        await using var size = new NpgsqlCommand(
            "SELECT sum(pg_table_size(relid))::bigint, sum(pg_indexes_size(relid))::bigint FROM pg_partition_tree('block') WHERE isleaf", connection);
        await using var reader = await size.ExecuteReaderAsync();
        await reader.ReadAsync();
        return (reader.GetInt64(0), reader.GetInt64(1));
    }
}
