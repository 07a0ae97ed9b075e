using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using Microsoft.Extensions.Logging.Abstractions;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Benchmarks.Storage;

/// <summary>Writing and reading history in the embedded store: 20 switches of 48 ports, a poll a minute.</summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 3, iterationCount: 12)]
public class SqliteHistoryBenchmarks
{
    private const int Switches = 20;
    private const int Ports = 48;
    private const int DaysStored = 5;
    private const int Cycles = 50;

    private static readonly DateTimeOffset Start = new(2026, 3, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly Random _random = new(48);
    private DirectoryInfo _folder = null!;
    private SqliteStore _store = null!;
    private int _minute;

    [GlobalSetup]
    public async Task SetUpAsync()
    {
        _folder = Directory.CreateTempSubdirectory("poewatch-bench-");
        _store = new SqliteStore(new SqliteStoreOptions(Path.Combine(_folder.FullName, "history.db")), NullLogger<SqliteStore>.Instance);
        await _store.PrepareAsync(CancellationToken.None);
        for (; _minute < DaysStored * 1440; _minute++)
        {
            await _store.AppendAsync(Cycle(_minute), CancellationToken.None);
        }
    }

    [GlobalCleanup]
    public async Task CleanUpAsync()
    {
        await _store.DisposeAsync();
        _folder.Delete(recursive: true);
    }

    /// <summary>Port samples written: one synced transaction for each round over all switches.</summary>
    [Benchmark(OperationsPerInvoke = Cycles * Switches * Ports)]
    public async Task AppendPortSamplesAsync()
    {
        for (var i = 0; i < Cycles; i++)
        {
            await _store.AppendAsync(Cycle(_minute++), CancellationToken.None);
        }
    }

    /// <summary>Five days of one switch: what a chart of one port or pole asks for.</summary>
    [Benchmark]
    public async Task<int> ReadFiveDaysOfOneSwitchAsync()
    {
        var count = 0;
        await foreach (var reading in _store.ReadAsync("switch-7", Start, Start.AddDays(DaysStored), CancellationToken.None))
        {
            count += reading.Ports.Length;
        }

        return count;
    }

    [Benchmark]
    public async Task<int> ReadLatestAsync() => (await _store.ReadLatestAsync(CancellationToken.None)).Count;

    private SwitchReading[] Cycle(int minute) => [.. Enumerable.Range(0, Switches).Select(s => new SwitchReading(
        $"switch-{s}",
        (minute * Switches) + s,
        Start.AddMinutes(minute).AddSeconds(s * 3),
        PollOutcome.Answered,
        "",
        TimeSpan.FromMinutes(minute),
        [.. Enumerable.Range(1, Ports).Select(p => new PortReading(
            new PsePortRef($"switch-{s}", 1, p), PortState.Delivering, Power.FromMilliwatts(6_000 + _random.Next(9_000)), Provenance.Measured, PoeClass.Class4))],
        []))];
}
