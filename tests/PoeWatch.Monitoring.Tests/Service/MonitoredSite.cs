using System.Collections.Frozen;
using System.Collections.Immutable;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Alarming;
using PoeWatch.Monitoring.Balance;
using PoeWatch.Monitoring.Conditions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Service;
using PoeWatch.Monitoring.Supplies;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Service;

/// <summary>
/// The monitoring room as the server puts it together, over a store in memory, a scripted switch and driven time. One life of the service;
/// begin another over the same <see cref="Store"/> for a restart.
/// </summary>
internal sealed class MonitoredSite : ISwitchReader, IAsyncDisposable
{
    private readonly StoreGate _gate;
    private readonly PollLoop _polls;
    private readonly TestMeters _meters = new();

    private ReadingSpool Spool { get; } = new ReadingSpool(new MemoryDisk(), 1 << 20, NullLogger<ReadingSpool>.Instance);

    public MonitoredSite(MemoryStore store, FakeTimeProvider time, DesignModel design)
    {
        (Store, Time) = (store, time);
        var nothing = new NetworkSnapshot(time.GetUtcNow(), FrozenDictionary<string, SwitchReading>.Empty, FrozenDictionary<string, SwitchReading>.Empty);
        View = new SiteViewHolder(new SiteView(0, design, nothing, SiteAssessor.Assess(DesignAnalysis.Of(design), nothing), [], 0));
        var state = new NetworkState();
        _gate = new StoreGate(store, time, NullLogger<StoreGate>.Instance);
        Keeper = new ReadingKeeper(
            store, store, Spool, _gate, new StorageMetrics(_meters), Options.Create(new KeeperOptions()), time, NullLogger<ReadingKeeper>.Instance);
        Intake = new ReadingIntake(state, Keeper);
        _polls = new PollLoop(
            this, Intake, new PollingMetrics(_meters), Options.Create(new PollingOptions()), time, NullLogger<PollLoop>.Instance);
        var ledger = new AlarmLedger(store, _gate, new AlarmTimings(), time, NullLogger<AlarmLedger>.Instance);
        Monitor = new SiteMonitor(
            state, Board, UpsBoard, Intake, View, Keeper, ledger, new MaintenanceBoard(store, _gate, time), Balance, _polls, new AlarmMetrics(_meters), new ClockWatch(time, NullLogger<ClockWatch>.Instance), time, NullLogger<SiteMonitor>.Instance);
    }

    public MemoryStore Store { get; }

    public StoreGate Gate => _gate;

    public FakeTimeProvider Time { get; }

    public ConditionBoard Board { get; } = new();

    public UpsBoard UpsBoard { get; } = new();

    public BalanceBook Balance { get; } = new();

    public SiteViewHolder View { get; }

    public ReadingKeeper Keeper { get; }

    public ReadingIntake Intake { get; }

    public SiteMonitor Monitor { get; }

    /// <summary>Watts of each port of each switch; a switch that is missing is silent.</summary>
    public ImmutableDictionary<string, double> WattsByPort { get; set; } = ImmutableDictionary<string, double>.Empty;

    /// <summary>What a switch says instead; null from it where it is silent. Not asked where this is null.</summary>
    public Func<string, SwitchReading?>? Answers { get; set; }

    public int Polls { get; private set; }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public async Task StartAsync()
    {
        await _gate.StartAsync(Stop);
        await Keeper.StartAsync(Stop);
        await Monitor.StartAsync(Stop);
        await _polls.StartAsync(Stop);
    }

    /// <summary>Drives time until the state is reached; fails after as much driven time as given.</summary>
    public async Task UntilAsync(Func<bool> reached, string state, TimeSpan? within = null)
    {
        DateTimeOffset end = Time.GetUtcNow() + (within ?? TimeSpan.FromMinutes(10));
        while (!reached() && Time.GetUtcNow() < end)
        {
            Time.Advance(TimeSpan.FromMilliseconds(250));
            await Task.Delay(TimeSpan.FromMilliseconds(1), TimeProvider.System, Stop);
        }

        Assert.True(reached(), $"Not reached: {state}. Alarms: {string.Join("; ", View.Current.Alarms.Select(a => $"{a.Key} cleared={a.IsCleared}"))}");
    }

    public Task<SwitchReading> ReadAsync(PollTarget target, CancellationToken cancellationToken)
    {
        Polls++;
        if (Answers is { } answers)
        {
            return Task.FromResult(answers(target.PseId) ?? new SwitchReading(target.PseId, 0, Time.GetUtcNow(), PollOutcome.Silent, "", null, [], []));
        }

        var ports = WattsByPort
            .Where(p => p.Key.StartsWith(target.PseId + ":", StringComparison.Ordinal))
            .Select(p => SnapshotBuilder.Delivering(p.Key, p.Value))
            .ToImmutableArray();
        PollOutcome outcome = ports.IsEmpty ? PollOutcome.Silent : PollOutcome.Answered;
        return Task.FromResult(new SwitchReading(target.PseId, 0, Time.GetUtcNow(), outcome, "", null, ports, []));
    }

    public async ValueTask DisposeAsync()
    {
        await _polls.StopAsync(CancellationToken.None);
        await Monitor.StopAsync(CancellationToken.None);
        await Keeper.StopAsync(CancellationToken.None);
        await _gate.StopAsync(CancellationToken.None);
        Monitor.Dispose();
        Keeper.Dispose();
        _polls.Dispose();
        _gate.Dispose();
        _meters.Dispose();
    }
}
