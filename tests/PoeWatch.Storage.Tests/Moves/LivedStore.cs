using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Notices;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Storage.Tests.Suites;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Storage.Tests.Moves;

/// <summary>Fills a store through its seams, by seed, so that every table has rows: random readings sealed over midnight, some of them late, some packed.</summary>
internal static class LivedStore
{
    internal static readonly string[] Elements = ["quay-west", "quay-east", "möle-head"];
    internal static readonly DateTimeOffset Start = new(2026, 2, 28, 0, 1, 0, TimeSpan.Zero);

    // Quarter-hours: more than 256 leaves, so that a subtree is kept, and a month's end among them.
    private const int Quarters = 106;

    private static readonly NoticeLane Desk = new("operator", "desk");

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    internal static DateTimeOffset End => Start.AddMinutes(15 * Quarters);

    internal static async Task FillAsync(OpenStore store, int seed)
    {
        var random = new Random(seed);
        await SealAsync(store, random);
        await BlockStoreSuite.PackAllAsync(store, Start.AddHours(random.Next(4, 25)));
        await WriteAlarmsAsync(store, random);
        await WriteRollupsAsync(store);
        await store.Designs.SaveDesignAsync(new DesignVersion("abc1", "format: poewatch-design/1\n# Zoë", Start, "start"), Token);
        await store.Designs.SaveDesignAsync(new DesignVersion("abc2", new string('x', 100_000), Start.AddHours(2), "mira"), Token);
        await store.Conditions.SavePostedAsync(new PostedCondition("dark", Start, "mira", true, null, Start.AddHours(9), "fog"), Token);
        await store.Conditions.SavePostedAsync(new PostedCondition("temperature", Start, "mira", null, Temperature.FromCelsius(-12.345), DateTimeOffset.MaxValue, ""), Token);
        await store.AgentChanges.SaveAgentChangesAsync(
            [new AgentChangeNote("quay-west", Start.AddMinutes(3), AgentChangeKind.Restarted, "The agent started again.")], Token);
        await ((IMaintenanceStore)store.Owner).SaveWindowAsync(
            new MaintenanceWindow("mw-1", "pole/quay-03", Start, Start.AddHours(4), "Åse", "new 'gland'", Start.AddDays(-1)), Token);
    }

    /// <summary>Goes on with life in a store: readings until a time, sealed as they come.</summary>
    internal static async Task SealAsync(OpenStore store, Random random, int from = 0, int quarters = Quarters)
    {
        var time = new FakeTimeProvider(Start.AddMinutes(15 * from));
        var design = new DesignModelBuilder().DeviceType("camera", 10).Switch("quay-west").Port("quay-west:1/1").Device("cam-1", "camera", "pole-1")
            .Cable("quay-west:1/1", "cam-1").Build();
        using var life = new SealBench(store.History, (ISealStore)store.Owner, (ILateMarkStore)store.Owner, time, design, EvidenceSigner.None);
        for (var quarter = from; quarter < from + quarters; quarter++)
        {
            time.SetUtcNow(Start.AddMinutes(15 * quarter));
            await life.Keeper.SealDueAsync(Token);
            await life.History.AppendAsync([.. Elements.SelectMany(e => Readings(random, e, quarter))], Token);
            if (random.Next(20) == 0)
            {
                await life.History.AppendAsync([.. Readings(random, Elements[1], random.Next(0, quarter + 1))], Token);
            }
        }

        // A late one that no amendment answers yet.
        await life.History.AppendAsync([SampleReadings.Random(random, Elements[2], 1, Start.AddMinutes(20).AddTicks(from + 7))], Token);
    }

    private static IEnumerable<SwitchReading> Readings(Random random, string element, int quarter) => Enumerable.Range(0, random.Next(0, 4)).Select(n =>
        SampleReadings.Random(random, element, (quarter * 10) + n, Start.AddMinutes(15 * quarter).AddTicks(random.NextInt64(TimeSpan.TicksPerMinute * 13))));

    private static async Task WriteAlarmsAsync(OpenStore store, Random random)
    {
        var (key, outbox) = (new AlarmKey("run/quay-west:1/3", "headroom-low"), (INoticeStore)store.Owner);
        var lane = await outbox.OpenLaneAsync(Desk, Start, Token);
        AlarmChange[] changes =
        [
            .. Enumerable.Range(0, random.Next(5, 40)).Select(n => new AlarmChange(
                key, Start.AddMinutes(n), n % 2 == 0 ? AlarmChangeKinds.Raised : AlarmChangeKinds.Cleared, AlarmSeverity.Major, n % 5 == 0 ? "Åse" : "", $"{n} W left")
                {
                    QuietBecause = n % 7 == 0 ? "maintenance mw-1" : "",
                }),
        ];
        await store.Alarms.SaveAlarmsAsync(
            [
                new Alarm(key, AlarmSeverity.Minor, false, Start, Start, "4 W left", "steps", OperatorState.Shelved, "Åse", "seen") { Shelf = new AlarmShelf(Start.AddDays(9), AlarmSeverity.Minor) },
                new Alarm(key with { Resource = "run/quay-west:1/4" }, AlarmSeverity.Minor, true, Start, Start, "4 W left", "", OperatorState.None, "", ""),
            ],
            changes,
            Token);
        var content = new NoticeContent(
            key.Resource, key.Type, AlarmChangeKinds.Raised, AlarmSeverity.Major, Start, Start, "pole Quay 3", "quay-03", "Zoë says: \"dark\"\n", "Look.", "");
        await outbox.StepLaneAsync(
            new LaneStep(
                Desk, lane.ReadTo, lane.ReadTo + 3, Start, [new NewNotice(Desk, "a", content, Start, false), new NewNotice(Desk, "b", content, Start.AddHours(1), true)],
                [new ToldAlarm(key, AlarmSeverity.Major, Start)], []),
            Token);
        await outbox.NoteAttemptAsync([(await outbox.ReadDueAsync(Desk, Start, 1, Token))[0].Id], NoticeState.Sent, Start.AddMinutes(1), "", Token);
    }

    private static async Task WriteRollupsAsync(OpenStore store)
    {
        RollupSubject[] subjects = [new(RollupKind.Ports, "quay-west"), new(RollupKind.Pole, "quay-03"), RollupSubject.Site];
        foreach (var subject in subjects)
        {
            await store.Rollups.SaveRollupsAsync(
                [RollupCodec.Encode(subject, RollupStep.Day, Start.Date, Start.Date.AddDays(1), [new RollupLine(0, 0, [DrawRollup.Nothing(Start.Date, Start.Date.AddDays(1))], null)])],
                Token);
        }

        await store.Rollups.SaveRollupFrontierAsync(new RollupFrontier(Start.AddHours(3), Start), Token);
        await store.Rollups.NoteLateHoursAsync([new LateHour("quay-west", Start.Date)], Token);
    }
}
