using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Notices;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Tests.Upgrades;

/// <summary>What the rows of rows-NNNN.jsonl say: an hour at three switches before and after a month's end, written in November 2026.</summary>
internal static class OldContent
{
    internal static readonly DateTimeOffset Start = new(2026, 2, 28, 22, 0, 0, TimeSpan.Zero);
    internal static readonly AlarmKey Low = new("run/quay-west:1/3", "headroom-low");
    internal static readonly NoticeLane Desk = new("operator", "desk");

    /// <summary>In the journal, which every layout has.</summary>
    internal static IReadOnlyList<SwitchReading> Journal { get; } =
    [
        SampleReadings.EveryCombination("quay-west", 1, Start.AddMinutes(65).AddTicks(7)),
        SampleReadings.Silent("quay-west", 2, Start.AddMinutes(66)),
        .. Enumerable.Range(1, 9).Select(n => SampleReadings.Numbered("möle-head", n) with
        {
            At = Start.AddMinutes(53 + n), InterfaceNames = SampleReadings.Names("möle-head", n < 5 ? "Gi0" : "Gi1", 2),
        }),
    ];

    /// <summary>Packed into blocks, which layout 3 brought; two hours, so that one lies in each of two months.</summary>
    internal static IReadOnlyList<SwitchReading> Packed { get; } =
        [.. Enumerable.Range(0, 50).Select(n => SampleReadings.Numbered("quay-east", n) with { At = Start.AddMinutes(3 * n).AddTicks(n) })];

    internal static IReadOnlyList<AlarmChange> Changes { get; } =
    [
        new(Low, Start, AlarmChangeKinds.Raised, AlarmSeverity.Major, "", "4 W left"),
        new(Low, Start.AddMinutes(1), "ack", AlarmSeverity.Major, "Åse", "on my way"),
        new(Low, Start.AddMinutes(2), AlarmChangeKinds.Cleared, AlarmSeverity.Major, "", "9 W left"),
    ];

    internal static Alarm Alarm { get; } = new(Low, AlarmSeverity.Major, true, Start, Start.AddMinutes(2), "9 W left", "none", OperatorState.Ack, "Åse", "on my way");

    internal static IReadOnlyList<DesignVersion> Designs { get; } =
        [new("abc1", "format: poewatch-design/1\n# Zoë", Start.AddDays(-9), "start"), new("abc2", "format: poewatch-design/1\n", Start, "mira")];

    internal static IReadOnlyList<PostedCondition> Conditions { get; } =
    [
        new("dark", Start, "mira", true, null, Start.AddHours(9), "fog"),
        new("temperature", Start.AddMinutes(1), "mira", null, Temperature.FromCelsius(-12.345), Start.AddHours(9), ""),
    ];

    internal static AgentChangeNote AgentChange { get; } = new("quay-west", Start.AddMinutes(3), AgentChangeKind.Restarted, "The agent started again.");

    internal static NoticeContent Notice { get; } = new(
        Low.Resource, Low.Type, AlarmChangeKinds.Raised, AlarmSeverity.Major, Start, Start, "pole Quay 3", "quay-03", "Zoë says: \"dark\"\n", "Look.", "");

    /// <summary>A day of a pole: 18 h at 12 W on average, the rest unknown.</summary>
    internal static DrawRollup Day { get; } = new(
        Start.AddHours(-22), Start.AddHours(2), Power.FromWatts(10), Power.FromWatts(14), Power.FromWatts(13), 216, null, KnownTime.For(Provenance.Measured, TimeSpan.FromHours(18)));

    internal static RollupSubject Pole { get; } = new(RollupKind.Pole, "quay-03");

    internal static RollupFrontier Frontier { get; } = new(Start.AddHours(1), Start.AddHours(-22));

    /// <summary>What layout 8 brought.</summary>
    internal static Alarm Shelved { get; } = Alarm with
    {
        Key = Low with { Resource = "run/quay-west:1/4" },
        IsCleared = false,
        OperatorState = OperatorState.Shelved,
        Shelf = new AlarmShelf(Start.AddDays(9), AlarmSeverity.Minor),
        MaintenanceId = "mw-1",
    };

    internal static AlarmChange Quiet { get; } = Changes[0] with { Key = Shelved.Key, QuietBecause = "maintenance mw-1" };

    internal static MaintenanceWindow Window { get; } = new("mw-1", "pole/quay-03", Start, Start.AddHours(4), "Åse", "new 'gland'", Start.AddDays(-1));
}
