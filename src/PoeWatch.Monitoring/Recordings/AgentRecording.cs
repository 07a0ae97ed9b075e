using System.Collections.Immutable;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>What one agent answered. Immutable; the values are its own.</summary>
/// <param name="ObjectId">sysObjectID in dotted numbers, or empty.</param>
/// <param name="Cells">Values in the order of their names, each name once.</param>
/// <param name="Missing">What it did not answer or what was left out; empty where it is whole.</param>
public sealed record AgentRecording(string ObjectId, ImmutableArray<VarBind> Cells, ImmutableArray<MissingPart> Missing);

/// <summary>A subtree, or one value, that a recording does not hold.</summary>
/// <param name="Oid">Dotted numbers.</param>
/// <param name="Reason">Why, without names or addresses.</param>
/// <param name="IsFailure">False where it was left out on purpose.</param>
public sealed record MissingPart(string Oid, string Reason, bool IsFailure);

/// <summary>How much is recorded at most.</summary>
public static class RecordingLimits
{
    /// <summary>Values over all subtrees: several times what the largest stack shows of the tables that count (common practice, no source).</summary>
    public const int CellsMax = 100_000;

    /// <summary>Octets of all values together.</summary>
    public const int OctetsMax = 16 * 1024 * 1024;

    /// <summary>Requests for one subtree.</summary>
    public const int RequestsMax = 5_000;

    /// <summary>Subtrees one after the other without an answer, after which the agent counts as silent.</summary>
    public const int SilencesMax = 3;
}
