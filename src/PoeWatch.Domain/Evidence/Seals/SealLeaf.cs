using System.Collections.Immutable;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>What a leaf says. The numbers are part of the canonical bytes.</summary>
public enum SealKind
{
    Unknown = 0,

    /// <summary>The quarter-hour as it was when it was sealed.</summary>
    Seal = 1,

    /// <summary>Polls of a sealed quarter-hour that came later.</summary>
    Amendment = 2,
}

/// <summary>One poll in a leaf: its time, how many rows it has and the root of the little tree over them. Immutable.</summary>
public readonly record struct SealedPoll(long AtMicroseconds, int RowCount, Digest Root)
{
    public static SealedPoll Of(SwitchReading reading) => Of(CanonicalRow.RowsOf(reading));

    /// <param name="rows">All rows of one poll, in their order.</param>
    public static SealedPoll Of(IReadOnlyList<EvidenceRow> rows) =>
        new(rows[0].AtMicroseconds, rows.Count, HashTree.Root(rows.Select(CanonicalRow.HashOf).ToArray()));
}

/// <summary>A leaf of the tree: one element in one quarter-hour. Without polls it says that nothing was heard. Immutable.</summary>
/// <param name="StartMicroseconds">Begin of the quarter-hour.</param>
/// <param name="Polls">In order of time; of an amendment only those that came later.</param>
public sealed record SealLeaf(SealKind Kind, string PseId, long StartMicroseconds, ImmutableArray<SealedPoll> Polls)
{
    public const byte Version = 1;

    /// <summary>Canonical bytes, version 1: docs/evidence-export.md has them byte by byte.</summary>
    public byte[] Encode()
    {
        var bytes = new CanonicalBytes().Byte(Version).Byte((int)Kind).Text(PseId).Long(StartMicroseconds)
            .Int((int)SealInterval.Length.TotalSeconds).Int(Polls.Length);
        foreach (var poll in Polls)
        {
            bytes.Long(poll.AtMicroseconds).Int(poll.RowCount).Hash(poll.Root);
        }

        return bytes.Written.ToArray();
    }

    /// <summary>The leaf's hash in the tree.</summary>
    public Digest Hash() => HashTree.Leaf(Encode());
}
