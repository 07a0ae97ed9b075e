using PoeWatch.Domain.Rollups;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>Whose draws a stored packet holds.</summary>
public enum RollupKind
{
    Unknown = 0,

    /// <summary>Each port of one element.</summary>
    Ports = 1,

    /// <summary>The sum of all ports of one element.</summary>
    Switch = 2,

    /// <summary>The sum of the runs of one pole.</summary>
    Pole = 3,

    /// <summary>The sum of all elements that are fed by mains.</summary>
    Site = 4,
}

/// <summary>Whose draws: the kind and the id of the element or pole; empty for the site.</summary>
public readonly record struct RollupSubject(RollupKind Kind, string Name)
{
    public static RollupSubject Site { get; } = new(RollupKind.Site, string.Empty);

    public override string ToString() => $"{Kind}:{Name}";
}

/// <summary>Intervals of one step over [Start, End) as they are stored, packed by <c>RollupCodec</c>: a day of the site, or an hour of the running one.</summary>
public sealed record RollupBlock(RollupSubject Subject, RollupStep Step, DateTimeOffset Start, DateTimeOffset End, ReadOnlyMemory<byte> Payload);

/// <summary>An hour of one element that readings came for after it was rolled up.</summary>
public readonly record struct LateHour(string PseId, DateTimeOffset Hour);

/// <summary>Up to where everything is rolled up, UTC. Null before the first time.</summary>
/// <param name="Hours">Quarter-hours and hours.</param>
/// <param name="Days">Whole days of the site.</param>
public readonly record struct RollupFrontier(DateTimeOffset? Hours, DateTimeOffset? Days);

/// <summary>Rollups of the draw history: derived, so that they can be made again as long as the readings are there. Implementations are thread safe.</summary>
public interface IRollupStore
{
    /// <summary>Longest stretch of time that one block holds: a day of the site on which the clock goes back.</summary>
    static readonly TimeSpan BlockMax = TimeSpan.FromHours(26);

    /// <summary>Writes blocks, each in place of all that begin within it with the same subject and step. All or nothing.</summary>
    Task SaveRollupsAsync(IReadOnlyList<RollupBlock> blocks, CancellationToken cancellationToken);

    /// <summary>Blocks of one subject that overlap [from, to), in order of time, streamed.</summary>
    IAsyncEnumerable<RollupBlock> ReadRollupsAsync(
        RollupSubject subject, RollupStep step, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken);

    /// <summary>Blocks of all subjects of a kind that overlap [from, to), subject by subject in order of time, streamed.</summary>
    IAsyncEnumerable<RollupBlock> ReadRollupsAsync(
        RollupKind kind, RollupStep step, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken);

    /// <summary>Up to where everything is rolled up.</summary>
    Task<RollupFrontier> ReadRollupFrontierAsync(CancellationToken cancellationToken);

    /// <summary>Notes up to where everything is rolled up.</summary>
    Task SaveRollupFrontierAsync(RollupFrontier frontier, CancellationToken cancellationToken);

    /// <summary>Notes hours that have to be rolled up again; an hour that is noted already stays noted once.</summary>
    Task NoteLateHoursAsync(IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken);

    /// <summary>Hours that have to be rolled up again, oldest first.</summary>
    Task<IReadOnlyList<LateHour>> ReadLateHoursAsync(CancellationToken cancellationToken);

    /// <summary>Takes back hours that were rolled up again.</summary>
    Task ForgetLateHoursAsync(IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken);

    /// <summary>Deletes blocks of one step that end at that time or before it, in small steps.</summary>
    Task DropRollupsAsync(RollupStep step, DateTimeOffset before, CancellationToken cancellationToken);
}
