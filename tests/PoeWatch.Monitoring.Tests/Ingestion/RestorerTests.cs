using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Ingestion;

public class RestorerTests
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));
    private readonly MemoryStore _store = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task The_design_of_the_start_is_noted_once_however_often_the_readings_are_asked_for()
    {
        using var meters = new TestMeters();
        using var gate = new StoreGate(_store, _time, NullLogger<StoreGate>.Instance);
        using var keeper = new ReadingKeeper(
            _store, _store, new ReadingSpool(new MemoryDisk(), 1 << 20, NullLogger<ReadingSpool>.Instance), gate, new StorageMetrics(meters), Options.Create(new KeeperOptions()), _time, NullLogger<ReadingKeeper>.Instance);
        var history = new DamagedHistory();
        using var restorer = new Restorer(
            gate, history, _store, Version("first"), new ReadingIntake(new NetworkState(), keeper), _time, NullLogger<Restorer>.Instance);
        Assert.True(await gate.TryOpenAsync(Stop));
        await restorer.StartAsync(Stop);
        await UntilAsync(() => history.Asked >= 1);

        // Somebody applies another design while the readings cannot be read.
        await _store.SaveDesignAsync(Version("second"), Stop);
        await UntilAsync(() => history.Asked >= 3);

        Assert.Equal(["first", "second"], (await _store.ReadDesignsAsync(Stop)).Select(d => d.Hash));
        await restorer.StopAsync(Stop);
    }

    private static DesignVersion Version(string hash) => new(hash, hash, DateTimeOffset.UnixEpoch, "start");

    private async Task UntilAsync(Func<bool> reached)
    {
        for (var turn = 0; turn < 5_000 && !reached(); turn++)
        {
            _time.Advance(TimeSpan.FromMilliseconds(500));
            await Task.Delay(TimeSpan.FromMilliseconds(1), TimeProvider.System, Stop);
        }

        Assert.True(reached());
    }

    /// <summary>A history with a damaged row: the last readings can never be read.</summary>
    private sealed class DamagedHistory : IHistoryStore
    {
        public int Asked { get; private set; }

        public Task PrepareAsync(CancellationToken cancellationToken) => Task.CompletedTask;

        public Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken) => Task.CompletedTask;

        public IAsyncEnumerable<SwitchReading> ReadAsync(
            string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) => AsyncEnumerable.Empty<SwitchReading>();

        public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken)
        {
            Asked++;
            return Task.FromException<IReadOnlyList<SwitchReading>>(new StoreException("a row is damaged"));
        }
    }
}
