using System.Collections.Frozen;
using System.Diagnostics.Metrics;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Alarming;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.Thermometers;
using PoeWatch.Monitoring.Polling.Ups;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Service;
using PoeWatch.Storage.Sqlite;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>
/// One life of the monitoring room as the server puts it together, over SQLite, polling the harbour's agents by the real reader. Its loops are not started: they
/// are stepped, so that a year passes in minutes. What is the same: schedule, reader, intake, keeper, store, assessment, alarm book, ledger.
/// </summary>
internal sealed class YearService : IAsyncDisposable
{
    private readonly YearHarbour _harbour;
    private readonly FakeTimeProvider _time;
    private readonly ServiceProvider _services;
    private readonly PollLoop _polls;
    private readonly ReadingKeeper _keeper;
    private readonly SiteMonitor _monitor;
    private readonly AlarmLedger _ledger;
    private readonly SiteViewHolder _view;
    private readonly RollupKeeper _rollups;
    private readonly ThermometerLoop _thermometers;
    private readonly UpsLoop _batteries;
    private DateTimeOffset _thermometersDue;
    private DateTimeOffset _packDue;
    private DateTimeOffset _rollDue;

    private YearService(YearHarbour harbour, FakeTimeProvider time, ServiceProvider services)
    {
        (_harbour, _time, _services) = (harbour, time, services);
        _polls = services.GetRequiredService<PollLoop>();
        _keeper = services.GetRequiredService<ReadingKeeper>();
        _monitor = services.GetRequiredService<SiteMonitor>();
        _ledger = services.GetRequiredService<AlarmLedger>();
        _view = services.GetRequiredService<SiteViewHolder>();
        _rollups = services.GetRequiredService<RollupKeeper>();
        _thermometers = services.GetRequiredService<ThermometerLoop>();
        _batteries = services.GetRequiredService<UpsLoop>();
    }

    public SiteView View => _view.Current;

    public SqliteStore Store => _services.GetRequiredService<SqliteStore>();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>Starts over the store in the folder: a restart where there is one.</summary>
    public static async Task<YearService> StartAsync(YearHarbour harbour, FakeTimeProvider time, string folder)
    {
        var isRestart = File.Exists(DatabaseIn(folder));
        ServiceCollection parts = Services(harbour, time, folder);
        var service = new YearService(harbour, time, parts.BuildServiceProvider());
        var gate = service._services.GetRequiredService<StoreGate>();
        await gate.StartAsync(Stop);
        await gate.WaitReadyAsync(Stop);

        // What the server does once, as soon as its store is open: the last readings, posted conditions and whatever else is read back.
        foreach (Type kind in parts.Select(part => part.ServiceType).Where(typeof(StoreOpening).IsAssignableFrom).Distinct())
        {
            var opening = (StoreOpening)service._services.GetRequiredService(kind);
            await opening.StartAsync(Stop);

            // Where nothing is rolled up yet there are no days to read back, and it waits for some.
            if (isRestart || kind != typeof(TrendRestorer))
            {
                await opening.ExecuteTask!;
            }
        }

        service._polls.Follow(PollTargets.Of(harbour.Design));
        return service;
    }

    /// <summary>Does what is due now: polls, thermometers, batteries, one step of the monitor.</summary>
    public async Task StepAsync()
    {
        var isNew = false;
        while (_polls.PollDue(Stop) is { } polls)
        {
            isNew = true;
            await _harbour.WaitAsync(polls, _time);
        }

        DateTimeOffset now = _time.GetUtcNow();
        if (now >= _thermometersDue)
        {
            isNew = true;
            _thermometersDue = now + YearOptions.Polling.ThermometerPeriod;
            await _harbour.WaitAsync(_thermometers.ReadAllAsync(_harbour.Design, Stop), _time);
        }

        await _harbour.WaitAsync(_batteries.ReadDueAsync(_harbour.Design, Stop), _time);

        // Where nothing came in and no delay runs, a step changes nothing that the next one does not change too.
        if (isNew || _ledger.HasDelaysUnderWay)
        {
            await _monitor.StepAsync(Stop);
        }
    }

    /// <summary>Writes what waits, packs what is over and rolls days up.</summary>
    public async Task KeepAsync()
    {
        while (_keeper.WaitingReadings > 0)
        {
            await _keeper.WriteAsync(Stop);
        }

        if (_time.GetUtcNow() >= _packDue)
        {
            _packDue = _time.GetUtcNow() + TimeSpan.FromHours(1);
            while (await Store.PackAsync(_time.GetUtcNow() - TimeSpan.FromMinutes(15), Stop) > 0)
            {
            }
        }

        if (_time.GetUtcNow() >= _rollDue)
        {
            // Once a day, whole days: what is read back after a restart are days.
            _rollDue = _time.GetUtcNow() + TimeSpan.FromDays(1);
            while (await _rollups.TurnAsync(Stop))
            {
            }
        }
    }

    /// <summary>Writes the alarm changes that wait.</summary>
    public Task FlushAlarmsAsync() => _ledger.FlushAsync();

    /// <summary>Stops as the service does: the last alarms and readings are written.</summary>
    public async ValueTask DisposeAsync()
    {
        await KeepAsync();
        await FlushAlarmsAsync();
        await _services.GetRequiredService<StoreGate>().StopAsync(CancellationToken.None);
        await _services.DisposeAsync();
    }

    private static string DatabaseIn(string folder) => Path.Combine(folder, "history.db");

    private static ServiceCollection Services(YearHarbour harbour, FakeTimeProvider time, string folder)
    {
        var nothing = new NetworkSnapshot(time.GetUtcNow(), FrozenDictionary<string, SwitchReading>.Empty, FrozenDictionary<string, SwitchReading>.Empty);
        var first = new SiteView(0, harbour.Design, nothing, SiteAssessor.Assess(DesignAnalysis.Of(harbour.Design), nothing), [], 0);
        var services = new ServiceCollection();
        services.AddLogging();
        services.AddSingleton<TimeProvider>(time)
            .AddSingleton<IMeterFactory, TestMeters>()
            .AddSingleton<ICredentialSource>(harbour)
            .AddSingleton<IDesignSource>(harbour)
            .AddSingleton(SheetBook.Empty)
            .AddSingleton(new DesignVersion(harbour.Design.Hash, harbour.DesignText, time.GetUtcNow(), "start"))
            .AddSingleton(new SiteViewHolder(first))
            .AddSingleton(Options.Create(YearOptions.Polling))
            .AddSingleton(Options.Create(new KeeperOptions()))
            .AddSingleton(Options.Create(new HistoryOptions()))
            .AddSingleton(new ReadingSpool(new MemoryDisk(), 1 << 20, NullLogger<ReadingSpool>.Instance))
            .AddSingleton(new SqliteStoreOptions(DatabaseIn(folder)))
            .AddSingleton<SqliteStore>();
        AddSeams(services);
        services.AddPoeWatchMonitoring(new AlarmTimings());
        services.AddSingleton(_ => harbour.Client(time));
        return services;
    }

    private static void AddSeams(ServiceCollection services)
    {
        services.AddSingleton<IHistoryStore>(sp => new SealedHistory(
                sp.GetRequiredService<LateReadingWatch>(), sp.GetRequiredService<ISealStore>(), sp.GetRequiredService<ILateMarkStore>(), sp.GetRequiredService<LateWatch>()))
            .AddSingleton<IPortHistory>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<IHistoryUpkeep>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<IAlarmStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<IDesignStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<IConditionStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<IAgentChangeStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<IMaintenanceStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<IRollupStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<ISealStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<ILateMarkStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<INoticeStore>(sp => sp.GetRequiredService<SqliteStore>())
            .AddSingleton<LateWatch>()
            .AddSingleton(sp => new LateReadingWatch(sp.GetRequiredService<SqliteStore>(), sp.GetRequiredService<SqliteStore>()));
    }
}
