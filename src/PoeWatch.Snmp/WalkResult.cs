using System.Collections.Immutable;

namespace PoeWatch.Snmp;

/// <summary>How a walk ended.</summary>
public enum WalkEnding
{
    /// <summary>Not set: never comes out of a walk.</summary>
    Unknown = 0,

    /// <summary>Every column was read to its end.</summary>
    Complete,

    /// <summary>A request failed for good; <see cref="WalkResult.Failure"/> says why.</summary>
    RequestFailed,

    /// <summary>The agent repeated or stepped back in a column; that column ends there.</summary>
    NotIncreasing,

    /// <summary>The agent answered without a single variable.</summary>
    EmptyAnswer,

    /// <summary>The bound on requests or cells was reached.</summary>
    LimitReached,
}

/// <summary>One column as read, in the agent's order.</summary>
public sealed record WalkColumn(Oid Column, ImmutableArray<VarBind> Cells, bool IsComplete);

/// <summary>
/// What a walk brought. Immutable. What an agent answered before something went wrong is kept: look at
/// <see cref="WalkColumn.IsComplete"/> before reading an absence as a fact.
/// </summary>
public sealed record WalkResult
{
    public required WalkEnding Ending { get; init; }

    /// <summary>The request that failed, the last one if several did; null if none.</summary>
    public SnmpResult? Failure { get; init; }

    /// <summary>In the order of the request.</summary>
    public required ImmutableArray<WalkColumn> Columns { get; init; }

    /// <summary>In the order of the request; a Null value was never answered, NoSuchInstance is the agent's word.</summary>
    public required ImmutableArray<VarBind> Instances { get; init; }

    public int Requests { get; init; }

    /// <summary>When the last answer had arrived, measured from the start of the walk.</summary>
    public TimeSpan Duration { get; init; }

    public bool IsComplete => Ending == WalkEnding.Complete;

    /// <summary>True where the agent gave any answer.</summary>
    public bool HasAnswer { get; init; }
}
