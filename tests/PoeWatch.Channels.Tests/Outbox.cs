using System.Collections.Frozen;
using System.Diagnostics.Metrics;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Notices;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Notices;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.Storage.Sqlite;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Channels.Tests;

/// <summary>A real store with alarms and outbox, a small harbour, and a clock that the test drives.</summary>
internal sealed class Outbox : IAsyncDisposable
{
    public static readonly NoticeLane Lane = new("operator", "out");

    private readonly string _folder = Directory.CreateTempSubdirectory("poewatch-outbox-").FullName;
    private readonly IMeterFactory _meters = new ServiceCollection().AddMetrics().BuildServiceProvider().GetRequiredService<IMeterFactory>();
    private readonly Dictionary<AlarmKey, Alarm> _alarms = [];

    public FakeTimeProvider Time { get; } = new(new DateTimeOffset(2026, 11, 25, 10, 0, 0, TimeSpan.Zero));

    public NoticeOptions Options { get; } = new() { DashboardUrl = "https://poewatch.skerryhaven.example/" };

    public SqliteStore Store { get; private set; } = null!;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public static async Task<Outbox> OpenAsync()
    {
        var outbox = new Outbox();
        await outbox.StartAsync();
        return outbox;
    }

    /// <summary>Closes the store and opens it again, as a restart of the service does.</summary>
    public async Task RestartAsync()
    {
        await Store.DisposeAsync();
        await StartAsync();
    }

    public NoticeLaneWorker Worker(INoticeChannel channel, RoleRoute? route = null, INoticeStore? store = null) => new(
        Lane, route ?? new RoleRoute(Lane.Role), channel, new NoticeShared(store ?? Store, Store, new Harbour(Time), Options, new NoticeMetrics(_meters), Time, NullLogger.Instance));

    /// <summary>Raises, changes or clears an alarm now, as the ledger keeps it.</summary>
    public async Task ChangeAsync(AlarmKey key, string kind, AlarmSeverity severity, string text = "Draws 24.3 W (measured) of 25.5 W at the PSE.")
    {
        DateTimeOffset now = Time.GetUtcNow();
        DateTimeOffset raised = kind == AlarmChangeKinds.Raised || !_alarms.TryGetValue(key, out Alarm? known) ? now : known.RaisedAt;
        _alarms[key] = new Alarm(
            key, severity, kind == AlarmChangeKinds.Cleared, raised, now, text, "Look at the chart. Caution: a PoE port stays live while the pole is open.", OperatorState.None, "", "");
        await Store.SaveAlarmsAsync([_alarms[key]], [new AlarmChange(key, now, kind, severity, "", text)], Token);
    }

    public async Task ShelveAsync(AlarmKey key, OperatorState state)
    {
        Alarm alarm = _alarms[key] = _alarms[key] with { OperatorState = state };
        await Store.SaveAlarmsAsync([alarm], [new AlarmChange(key, Time.GetUtcNow(), AlarmChangeKinds.Of(state), alarm.Severity, "nora", "")], Token);
    }

    public async Task<IReadOnlyList<Notice>> NoticesAsync(NoticeState? state = null) => [.. (await Store.ReadNoticesAsync(state, null, 1000, Token)).Reverse()];

    public async ValueTask DisposeAsync()
    {
        await Store.DisposeAsync();
        Directory.Delete(_folder, recursive: true);
    }

    private async Task StartAsync()
    {
        Store = new SqliteStore(new SqliteStoreOptions(Path.Combine(_folder, "history.db")), NullLogger<SqliteStore>.Instance);
        await Store.PrepareAsync(Token);
    }

    private sealed class Harbour : ISiteView
    {
        public Harbour(TimeProvider time)
        {
            DesignModel design = new DesignModelBuilder().InZone("Europe/Oslo").DeviceType("camera", 12)
                .Switch("quay-west").Port("quay-west:1/3", 30).Pole("quay-03", "Quay 3").Device("cam-3", "camera", "quay-03").Cable("quay-west:1/3", "cam-3", 60).Build();
            var nothing = new NetworkSnapshot(time.GetUtcNow(), FrozenDictionary<string, SwitchReading>.Empty, FrozenDictionary<string, SwitchReading>.Empty);
            Current = new SiteView(0, design, nothing, SiteAssessor.Assess(DesignAnalysis.Of(design), nothing), [], 0);
        }

        public SiteView Current { get; }

        public Task<SiteView> WaitForNewerAsync(long version, CancellationToken cancellationToken) =>
            Task.FromException<SiteView>(new NotSupportedException("No notice waits for a view."));
    }
}
