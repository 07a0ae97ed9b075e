using System.Diagnostics.Metrics;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.Snmp;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Benchmarks.ManySwitches;

/// <summary>The way of a poll through the service, from the schedule to the store on disk; without assessment, API and logs.</summary>
internal sealed class LabService : IAsyncDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("poewatch-many-");
    private readonly Meters _meters = new();
    private readonly SqliteStore _store;
    private readonly SpoolFolder _spool;
    private readonly StoreGate _gate;

    public LabService(SnmpCredentials credentials, PollingOptions options, Func<IReadingSink, IReadingSink> around)
    {
        TimeProvider time = TimeProvider.System;
        Client = new SnmpClient(time);
        _store = new SqliteStore(new SqliteStoreOptions(Path.Combine(_folder.FullName, "history.db")), NullLogger<SqliteStore>.Instance);
        _gate = new StoreGate(_store, time, NullLogger<StoreGate>.Instance);
        _spool = new SpoolFolder(Path.Combine(_folder.FullName, "spool"));
        var spool = new ReadingSpool(_spool, 1L << 30, NullLogger<ReadingSpool>.Instance);
        Keeper = new ReadingKeeper(_store, _store, spool, _gate, new StorageMetrics(_meters), Options.Create(new KeeperOptions()), time, NullLogger<ReadingKeeper>.Instance);
        var intake = new ReadingIntake(new NetworkState(), Keeper);
        var reader = new SnmpSwitchReader(Client, new LabCredentials(credentials), SheetBook.Empty, Options.Create(options), time);
        Loop = new PollLoop(reader, around(intake), new PollingMetrics(_meters), Options.Create(options), time, NullLogger<PollLoop>.Instance);
    }

    public SnmpClient Client { get; }

    public ReadingKeeper Keeper { get; }

    public PollLoop Loop { get; }

    public long BytesOnDisk => _folder.EnumerateFiles().Sum(file => file.Length);

    public async Task StartAsync()
    {
        await _gate.StartAsync(CancellationToken.None);
        await Keeper.StartAsync(CancellationToken.None);
        await Loop.StartAsync(CancellationToken.None);
    }

    public async Task StopAsync()
    {
        await Loop.StopAsync(CancellationToken.None);
        await Keeper.StopAsync(CancellationToken.None);
        await _gate.StopAsync(CancellationToken.None);
    }

    public async ValueTask DisposeAsync()
    {
        Loop.Dispose();
        Keeper.Dispose();
        _gate.Dispose();
        await Client.DisposeAsync();
        await _store.DisposeAsync();
        _meters.Dispose();
        _spool.Dispose();
        _folder.Delete(recursive: true);
    }

    private sealed class Meters : IMeterFactory
    {
        private readonly List<Meter> _meters = [];

        public Meter Create(MeterOptions options)
        {
            _meters.Add(new Meter(options));
            return _meters[^1];
        }

        public void Dispose() => _meters.ForEach(meter => meter.Dispose());
    }
}
