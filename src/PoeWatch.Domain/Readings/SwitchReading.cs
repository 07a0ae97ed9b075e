using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Domain.Readings;

/// <summary>How a poll ended. Only <see cref="Answered"/> carries readings.</summary>
public enum PollOutcome
{
    Unknown = 0,

    /// <summary>The agent answered everything that was asked.</summary>
    Answered = 1,

    /// <summary>The agent answered a part: what it did answer is kept, the rest is unknown.</summary>
    Partial = 2,

    /// <summary>No answer in time, after all retries.</summary>
    Silent = 3,

    /// <summary>The agent answered with a refusal: user, digest, level, time window or access.</summary>
    Refused = 4,

    /// <summary>Answers came that could not be read.</summary>
    Malformed = 5,

    /// <summary>The agent answers but has no POWER-ETHERNET-MIB.</summary>
    NoPoe = 6,
}

/// <summary>What a PSE group (RFC 3621: a box in a stack, a module in a rack) says of itself. Immutable.</summary>
/// <param name="Group">RFC 3621 group number, 1 or more.</param>
/// <param name="Budget">Nominal power of the group; null where the agent does not say.</param>
/// <param name="DrawAtPse">Draw of the whole group, resolution 1 W; null where the agent does not say.</param>
/// <param name="Provenance">How the draw is known.</param>
/// <param name="IsOn">False where the group's supply is off or faulty; null where the agent does not say.</param>
public sealed record GroupReading(int Group, Power? Budget, Power? DrawAtPse, Provenance Provenance, bool? IsOn);

/// <summary>
/// One finished poll of one switch (or managed injector or pass-through switch): the immutable value that is handed from polling to
/// state, history and alarms.
/// </summary>
/// <param name="PseId">Element of the design that was polled.</param>
/// <param name="Sequence">Given at the intake, rises with every reading and orders what is kept; 0 before.</param>
/// <param name="At">UTC time of the agent's last answer, or of the end of waiting where none came.</param>
/// <param name="Outcome">How it ended.</param>
/// <param name="Detail">For people: what went wrong and what to do. Empty where nothing did.</param>
/// <param name="UpTime">sysUpTime; null where not answered.</param>
/// <param name="Ports">One reading a port, in port order.</param>
/// <param name="Groups">One reading a group.</param>
public sealed record SwitchReading(
    string PseId,
    long Sequence,
    DateTimeOffset At,
    PollOutcome Outcome,
    string Detail,
    TimeSpan? UpTime,
    ImmutableArray<PortReading> Ports,
    ImmutableArray<GroupReading> Groups)
{
    /// <summary>Names of interfaces by port where the agent mapped them; empty where it did not.</summary>
    public ImmutableDictionary<PsePortRef, string> InterfaceNames { get; init; } = ImmutableDictionary<PsePortRef, string>.Empty;

    /// <summary>Interfaces by port where they are mapped; carried with the poll that read them. Not kept in the history.</summary>
    public ImmutableDictionary<PsePortRef, PortInterface> Interfaces { get; init; } = ImmutableDictionary<PsePortRef, PortInterface>.Empty;

    /// <summary>How long the poll took, from its start to its end; null where nobody measured. Not kept in the history.</summary>
    public TimeSpan? Took { get; init; }

    /// <summary>When the agent is asked again, where that may be later than its period: a silence or a refusal lasts until then. Not kept in the history.</summary>
    public TimeSpan? NextWithin { get; init; }

    /// <summary>What happened to the agent since the poll before: rates do not cross it. Kept apart from the reading.</summary>
    public ImmutableArray<AgentChange> Changes { get; init; } = [];

    /// <summary>What the fault counters of ports tell since they were last read, of ports where anything happened. Not kept in the history.</summary>
    public ImmutableArray<PortEvents> PortEvents { get; init; } = [];

    /// <summary>What is odd about the answers, as of this poll. Not kept in the history.</summary>
    public ImmutableArray<ReadingFinding> Findings { get; init; } = [];
}
