using System.Globalization;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Notices;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Storage.Tests.Upgrades;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>
/// The same short life over and over, in which something breaks at the Nth chance, N growing until nothing breaks any more. Each write is repeated until it
/// returns, as the service does. In the end the store holds what that of a quiet life holds. Each adapter inherits it and says what breaks.
/// </summary>
public abstract class InjectionSuite : StoreSuite
{
    // A session that was cut off holds its lock until the server has noticed.
    private const int TriesMax = 500;

    private static readonly string[] Tables =
    [
        "poll", "block", "pse", "interface_names", "alarm", "alarm_change", "design_version", "posted_condition", "rollup", "rollup_subject", "rollup_frontier", "rollup_late",
        "seal_leaf", "seal_tile", "sealed_element", "day_root", "late_mark", "agent_change", "notice", "told_alarm", "notice_lane", "maintenance_window",
    ];

    // Enough to need more room on the disk.
    private static readonly SwitchReading[] s_many = Many();

    [Fact]
    public async Task Whatever_chance_breaks_the_store_holds_what_that_of_a_quiet_life_holds()
    {
        await using (await Harness.OpenAsync())
        {
        }

        var (quiet, _) = await LiveAsync(int.MaxValue);
        var broken = 0;
        for (var chance = 1; ; chance = After(chance))
        {
            var (text, failures) = await LiveAsync(chance);
            Assert.True(quiet == text, $"Broken at chance {chance}, the store holds\n{text}\nand not\n{quiet}");
            if (!IsSpent)
            {
                Assert.Equal(0, failures);
                break;
            }

            broken += failures > 0 ? 1 : 0;
        }

        Assert.True(broken >= FailuresAtLeast, $"only {broken} lives were broken");
    }

    /// <summary>The chance that is tried next.</summary>
    protected abstract int After(int chance);

    /// <summary>How many of the lives have to be broken, so that a test that breaks nothing fails.</summary>
    protected abstract int FailuresAtLeast { get; }

    /// <summary>True once the newest store has had its chance and broke.</summary>
    protected abstract bool IsSpent { get; }

    /// <summary>A store that breaks at the Nth chance from now on, once.</summary>
    protected abstract Task<OpenStore> OpenBreakingAsync(int chance);

    /// <summary>From now on nothing breaks any more.</summary>
    protected abstract void Disarm();

    /// <summary>What has to be done after a failure before it is tried again.</summary>
    protected abstract Task MendAsync(OpenStore store);

    private async Task<(string Text, int Failures)> LiveAsync(int chance)
    {
        await Harness.ExecuteAsync(string.Join("; ", Tables.Select(table => $"DELETE FROM {table}")));
        var failures = 0;
        await using var store = await OpenBreakingAsync(chance);
        foreach (var step in StepsOf(store))
        {
            for (var tries = 1; ; tries++)
            {
                try
                {
                    await step();
                    break;
                }
                catch (StoreException e) when (tries < TriesMax && e.IsTransient)
                {
                    failures++;
                    await MendAsync(store);
                }
            }
        }

        Disarm();
        return (await TextAsync(store), failures);
    }

    private static IEnumerable<Func<Task>> StepsOf(OpenStore store)
    {
        var time = new FakeTimeProvider(OldContent.Start.AddMinutes(1));
        var design = new DesignModelBuilder().DeviceType("camera", 10).Switch("quay-west").Port("quay-west:1/1").Device("cam-1", "camera", "pole-1")
            .Cable("quay-west:1/1", "cam-1").Build();
        var outbox = (INoticeStore)store.Owner;
        var life = new SealBench(store.History, (ISealStore)store.Owner, (ILateMarkStore)store.Owner, time, design, EvidenceSigner.None);
        yield return () => store.History.PrepareAsync(Token);
        yield return () => life.Keeper.SealDueAsync(Token);
        yield return () => life.History.AppendAsync([.. OldContent.Packed.Take(40)], Token);
        yield return () => life.History.AppendAsync(OldContent.Journal, Token);
        yield return () => life.History.AppendAsync(s_many, Token);
        yield return () => BlockStoreSuite.PackAllAsync(store, OldContent.Start.AddHours(2));
        yield return () => outbox.OpenLaneAsync(OldContent.Desk, OldContent.Start, Token);
        yield return () => store.Alarms.SaveAlarmsAsync([OldContent.Alarm, OldContent.Shelved], [.. OldContent.Changes, OldContent.Quiet], Token);
        yield return () => StepLaneAsync(outbox);
        time.SetUtcNow(OldContent.Start.AddHours(2.4));
        yield return () => SealAsync(life);
        yield return () => life.History.AppendAsync([.. OldContent.Packed.Skip(40)], Token);
        yield return () => SealAsync(life);
        yield return () => BlockStoreSuite.PackAllAsync(store, OldContent.Start.AddHours(3));
        yield return () => store.Rollups.SaveRollupsAsync(
            [RollupCodec.Encode(OldContent.Pole, RollupStep.Day, OldContent.Day.Start, OldContent.Day.End, [new RollupLine(0, 0, [OldContent.Day], null)])], Token);
        yield return () => store.Rollups.SaveRollupFrontierAsync(OldContent.Frontier, Token);
        yield return () => store.Rollups.NoteLateHoursAsync([new LateHour("quay-west", OldContent.Start)], Token);
        yield return () => store.Designs.SaveDesignAsync(OldContent.Designs[0], Token);
        yield return () => store.Conditions.SavePostedAsync(OldContent.Conditions[0], Token);
        yield return () => store.AgentChanges.SaveAgentChangesAsync([OldContent.AgentChange], Token);
        yield return () => ((IMaintenanceStore)store.Owner).SaveWindowAsync(OldContent.Window, Token);
        life.Dispose();
    }

    // The keeper itself takes a failure for a reason to ask the store again; here it has to come out.
    private static async Task SealAsync(SealBench life)
    {
        await life.Keeper.TrySealAsync(Token);
        if (life.Keeper.Problem.Length > 0)
        {
            throw new StoreException(life.Keeper.Problem, isTransient: true, new InvalidOperationException("It could not be sealed."));
        }
    }

    // A step whose answer was lost is refused the second time: the lane stands where it led to.
    private static async Task StepLaneAsync(INoticeStore outbox)
    {
        var lane = await outbox.OpenLaneAsync(OldContent.Desk, OldContent.Start, Token);
        if (lane.Told.IsEmpty)
        {
            var step = new LaneStep(
                OldContent.Desk, lane.ReadTo, lane.ReadTo + 2, OldContent.Start, [new NewNotice(OldContent.Desk, "a", OldContent.Notice, OldContent.Start, false)],
                [new ToldAlarm(OldContent.Low, AlarmSeverity.Major, OldContent.Start)], []);
            Assert.True(await outbox.StepLaneAsync(step, Token));
        }
    }

    private static SwitchReading[] Many()
    {
        var random = new Random(20261125);
        return [.. Enumerable.Range(0, 200).Select(n => SampleReadings.Random(random, "quay-west", n, OldContent.Start.AddSeconds(40 * n)))];
    }

    private async Task<string> TextAsync(OpenStore store)
    {
        var lines = new List<string>();
        foreach (var table in Tables)
        {
            var rows = await Harness.CountAsync(table);
            lines.Add(string.Create(CultureInfo.InvariantCulture, $"{table} {rows}"));
        }

        foreach (var element in new[] { "quay-west", "möle-head", "quay-east" })
        {
            lines.AddRange((await ReadAllAsync(store.History, element)).Select(r => $"{element} {SealedPoll.Of(r).Root}"));
        }

        var proof = await new HistoryProof(store.History, (ISealStore)store.Owner, (ILateMarkStore)store.Owner).ProveAsync(Token);
        lines.Add(string.Create(CultureInfo.InvariantCulture, $"leaves {proof.Leaves}, recomputed {proof.Recomputed}, faults {proof.FaultCount}"));
        lines.AddRange((await store.Alarms.ReadAlarmChangesAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, null, Token)).Select(c => c.ToString()).Order(StringComparer.Ordinal));
        return string.Join('\n', lines);
    }
}
