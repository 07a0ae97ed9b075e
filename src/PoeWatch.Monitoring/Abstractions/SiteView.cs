using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>Everything that people can be shown at one moment. Immutable; replaced whole after each assessment.</summary>
/// <param name="Version">Rises by one with every replacement: the event id of the live stream.</param>
/// <param name="KeptSequence">Readings with a sequence up to this one are kept; later ones are not yet.</param>
public sealed record SiteView(
    long Version,
    DesignModel Design,
    NetworkSnapshot Snapshot,
    SiteAssessment Assessment,
    ImmutableArray<Alarm> Alarms,
    long KeptSequence)
{
    /// <summary>Maintenance windows announced, in force, or over for less than a month; by begin.</summary>
    public ImmutableArray<MaintenanceWindow> Maintenance { get; init; } = [];

    /// <summary>True where the newest answer of the element is synced to disk.</summary>
    public bool IsKept(string pseId) =>
        Snapshot.LatestAnswer.TryGetValue(pseId, out SwitchReading? reading) && reading.Sequence <= KeptSequence;
}

/// <summary>What the API and the dashboard read. Never blocks.</summary>
public interface ISiteView
{
    SiteView Current { get; }

    /// <summary>Completes when a view newer than <paramref name="version"/> is there.</summary>
    Task<SiteView> WaitForNewerAsync(long version, CancellationToken cancellationToken);
}

/// <summary>What came of an operator's action on an alarm.</summary>
public enum AlarmActionOutcome
{
    Unknown = 0,
    Done = 1,
    NoSuchAlarm = 2,
    NotAllowed = 3,

    /// <summary>The store could not keep it, so it was not done.</summary>
    NotKept = 4,
}

/// <summary>Operator's actions on alarms.</summary>
public interface IAlarmDesk
{
    /// <summary>Sets the operator state; kept in the store before it returns <see cref="AlarmActionOutcome.Done"/>.</summary>
    /// <param name="shelf">How long, where the state is shelved; eight hours where null.</param>
    Task<AlarmActionOutcome> SetOperatorStateAsync(
        AlarmKey key, OperatorState state, string who, string text, AlarmShelf? shelf, CancellationToken cancellationToken);

    /// <summary>Adds a note to what is known of an alarm; kept before it returns <see cref="AlarmActionOutcome.Done"/>.</summary>
    Task<AlarmActionOutcome> AddNoteAsync(AlarmKey key, string who, string text, CancellationToken cancellationToken);
}

/// <summary>A changed design, applied whole or not at all.</summary>
/// <param name="IsApplied">True where the running service now holds the network against the new design.</param>
/// <param name="Problems">Errors where refused, warnings where applied.</param>
public sealed record DesignApplyResult(bool IsApplied, string Hash, ImmutableArray<DesignProblem> Problems);

/// <summary>Changing and asking about the design in force.</summary>
public interface IDesignDesk
{
    /// <summary>Checks and applies a design text (YAML); no poll is missed.</summary>
    Task<DesignApplyResult> ApplyAsync(string designText, string who, CancellationToken cancellationToken);

    /// <summary>Reads the design file again and applies it; used by the command and on a signal.</summary>
    Task<DesignApplyResult> ReloadAsync(string who, CancellationToken cancellationToken);
}

/// <summary>How one part of the service is.</summary>
/// <param name="Part">"polling", "history", "rollups", "alarms", "notices", "seals", "clock".</param>
/// <param name="Status">"good", "degraded" or "bad".</param>
/// <param name="Detail">For people; what is wrong and what to do.</param>
public sealed record PartHealth(string Part, string Status, string Detail);

/// <summary>How the service itself is.</summary>
/// <param name="WaitingReadings">Readings not yet kept.</param>
/// <param name="WaitingReadingsMax">Stated bound of them; beyond it the oldest are dropped and counted.</param>
/// <param name="DroppedReadings">How many were dropped since the start.</param>
public sealed record ServiceHealth(
    DateTimeOffset StartedAt, string Version, ImmutableArray<PartHealth> Parts, int WaitingReadings, int WaitingReadingsMax, long DroppedReadings);

/// <summary>How the service itself is, at any time.</summary>
public interface IServiceHealth
{
    ServiceHealth Current { get; }
}
