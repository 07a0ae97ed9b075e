using System.Security.Cryptography;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence.Reports;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Evidence.Checks;
using PoeWatch.Evidence.Exports;
using PoeWatch.Evidence.Reports;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Service;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Evidence.Tests;

/// <summary>
/// An evening at two switches of Skerry Haven, sealed over midnight: quay-west is in the design, quay-east no longer is; one poll is silent, one came late, one
/// alarm was acknowledged. Exports of it lie in a folder that goes with it.
/// </summary>
internal sealed class ExportBench : IDesignSource, IDisposable
{
    public static readonly DateTimeOffset Start = new(2026, 11, 25, 23, 15, 0, TimeSpan.Zero);

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("poewatch-evidence-tests-");
    private readonly FakeTimeProvider _time = new(Start.AddMinutes(1));
    private readonly EvidenceSigner _signer;
    private readonly SealBench _life;
    private int _exports;

    private ExportBench(bool isSigned, ECDsa? key)
    {
        Key.ImportParameters((key ?? ECDsa.Create(ECCurve.NamedCurves.nistP256)).ExportParameters(includePrivateParameters: true));
        _signer = isSigned ? EvidenceSigner.TryTake(Key.ExportPkcs8PrivateKeyPem(), out _)! : EvidenceSigner.None;
        _life = new SealBench(Store, Seals, _time, Design, _signer);
    }

    public MemoryStore Store { get; } = new();

    public MemorySeals Seals { get; } = new();

    public ECDsa Key { get; } = ECDsa.Create();

    public string KeyId => EvidenceSigner.KeyIdOf(Key);

    public DesignModel Design { get; } = new DesignModelBuilder().DeviceType("camera", 10).Switch("quay-west").Port("quay-west:1/1")
        .Device("cam-1", "camera", "pole-1").Cable("quay-west:1/1", "cam-1").Build();

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    /// <param name="key">Signs in place of a new key.</param>
    /// <param name="without">Minute whose poll is left out.</param>
    /// <param name="inForceFrom">When the design came into force; three days before the evening where nothing is said.</param>
    public static async Task<ExportBench> StartAsync(bool isSigned = true, ECDsa? key = null, int without = -1, DateTimeOffset? inForceFrom = null)
    {
        var bench = new ExportBench(isSigned, key);
        var alarm = new AlarmKey("run/quay-west:1/1", "headroom-low");
        await bench.Store.SaveDesignAsync(new DesignVersion("test-design", "format: poewatch-design/1\n", inForceFrom ?? Start.AddDays(-3), "start"), Token);
        for (var minute = 2; minute <= 70; minute += minute + 4 == without ? 8 : 4)
        {
            bench._time.SetUtcNow(Start.AddMinutes(minute));
            await bench._life.Keeper.SealDueAsync(Token);
            await bench._life.History.AppendAsync(minute <= 30 ? [West(minute), East(minute)] : [West(minute)], Token);
        }

        // This one waited somewhere: its quarter-hour was sealed long ago.
        await bench._life.History.AppendAsync([West(8)], Token);
        await bench.Store.SaveAlarmsAsync(
            [],
            [
                new AlarmChange(alarm, Start.AddMinutes(3), AlarmChangeKinds.Raised, AlarmSeverity.Minor, "", "4.1 W left, \"early\" floor 5 W"),
                new AlarmChange(alarm, Start.AddMinutes(6), "ack", AlarmSeverity.Minor, "nora", "=on my way"),
            ],
            Token);
        await bench.Store.SavePostedAsync(new PostedCondition("dark", Start.AddMinutes(5), "mira", true, null, Start.AddHours(9), ""), Token);
        await bench.Store.SaveAgentChangesAsync(
            [
                new AgentChangeNote("quay-west", Start.AddMinutes(10), AgentChangeKind.Restarted, "The agent started again."),
                new AgentChangeNote("quay-west", Start.AddMinutes(-90), AgentChangeKind.Replaced, "Before the period."),
            ],
            Token);
        await bench.Store.SaveWindowAsync(new MaintenanceWindow("mw-1", "pole/pole-1", Start.AddHours(-2), Start.AddMinutes(9), "mira", "=new gland", Start.AddDays(-1)), Token);
        await bench.Store.SaveWindowAsync(new MaintenanceWindow("mw-2", "site", Start.AddHours(-3), Start.AddHours(-2), "mira", "over by then", Start.AddDays(-1)), Token);
        await bench._life.Keeper.SealDueAsync(Token);
        return bench;
    }

    /// <summary>Lets time pass and seals what is due; quay-west is polled on.</summary>
    public async Task GoOnAsync(int fromMinute, int toMinute)
    {
        for (var minute = fromMinute; minute <= toMinute; minute += 15)
        {
            _time.SetUtcNow(Start.AddMinutes(minute));
            await _life.History.AppendAsync([West(minute)], Token);
            await _life.Keeper.SealDueAsync(Token);
        }
    }

    /// <summary>Writes an export of the evening into a folder of its own.</summary>
    public async Task<string> ExportAsync(EvidenceScope? scope = null, DateTimeOffset? from = null, DateTimeOffset? to = null)
    {
        var path = _folder.CreateSubdirectory($"export-{++_exports}").FullName;
        var exports = new EvidenceExports(Sources, _signer, new ServiceIdentity("1.2.3", Start), () => "", _time);
        Problem = await exports.WriteAsync(
            new EvidenceRequest(from ?? Start, to ?? Start.AddMinutes(71), scope ?? EvidenceScope.Site), path, Token);
        return path;
    }

    public Task<MonthlyEvidence?> MonthAsync(DateOnly month, IHistoryStore? history = null) => new MonthlyEvidenceBuilder(
        Sources with { History = history ?? _life.History }, new ServiceIdentity("1.2.3", Start), _time).BuildAsync(month, Token);

    /// <summary>Rolls up the evening, as the service does, up to midnight.</summary>
    public async Task RollUpAsync()
    {
        var timeline = new Monitoring.Rollups.DesignTimeline(Store, this, _life.View);
        var writer = new RollupWriter(new RollupMaker(Store, Store), Store, _time);
        for (var day = new DateTimeOffset(2026, 11, 1, 0, 0, 0, TimeSpan.Zero); day < Start; day = day.AddDays(1))
        {
            await writer.WriteAsync(RollupWindow.OfDay(day, day.AddDays(1)), await timeline.ReadAsync(day, day.AddDays(1), Token), Token);
        }

        await Store.SaveRollupFrontierAsync(new RollupFrontier(Start.AddMinutes(45), Start.AddMinutes(45)), Token);
    }

    /// <summary>Why the last export was not written; null where it was.</summary>
    public string? Problem { get; private set; }

    private EvidenceSources Sources => new(_life.History, Store, Store, Seals, Seals, Store, Store, Store, Store, Store, this, _life.View);

    public async Task<EvidenceVerdict> CheckAsync(string export, string? earlier = null, ECDsa? key = null)
    {
        using var files = ExportFiles.Open(export, out var problem) ?? throw new InvalidOperationException(problem);
        return await EvidenceCheck.CheckAsync(files, key ?? Key, EvidenceSigner.KeyIdOf(key ?? Key), earlier, Token);
    }

    public static SwitchReading West(int minute) => new(
        "quay-west", minute, Start.AddMinutes(minute).AddTicks(minute), minute == 14 ? PollOutcome.Silent : PollOutcome.Answered,
        minute == 14 ? "-no answer, \"quay-west\"\r\nafter 3 tries" : "", minute == 14 ? null : TimeSpan.FromSeconds(minute),
        minute == 14 ? [] :
        [
            new PortReading(new PsePortRef("quay-west", 1, 1), PortState.Delivering, Power.FromMilliwatts(12_000 + minute), Provenance.Measured, PoeClass.Class3),
            new PortReading(new PsePortRef("quay-west", 1, 2), PortState.Delivering, Power.FromWatts(30), Provenance.Allocated, PoeClass.Class4),
            new PortReading(new PsePortRef("quay-west", 1, 3), PortState.Unknown, null, Provenance.Unknown, null),
        ],
        minute == 14 ? [] : [new GroupReading(1, Power.FromWatts(370), Power.FromWatts(43), Provenance.Measured, true)]);

    public void Dispose()
    {
        _life.Dispose();
        _signer.Dispose();
        Key.Dispose();
        _folder.Delete(recursive: true);
    }

    DesignReading IDesignSource.Read() => new(Design, [], "");

    DesignReading IDesignSource.Parse(string text, string name) => new(Design, [], text);

    private static SwitchReading East(int minute) => new(
        "quay-east", minute, Start.AddMinutes(minute), PollOutcome.Answered, "", null,
        [new PortReading(new PsePortRef("quay-east", 1, 1), PortState.Delivering, Power.FromMilliwatts(minute == 2 ? -5 : 8_000), Provenance.Derived, null)], []);
}
