using System.Collections.Immutable;
using PoeWatch.Domain.Evidence.Seals;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>A leaf as it is kept: its place in the tree, what it is of, and its hash. The rows stay in the history. Immutable.</summary>
/// <param name="Index">Place in the tree, from 0.</param>
/// <param name="Start">Begin of the quarter-hour, UTC.</param>
/// <param name="PollTimes">Microseconds of the polls that it covers, in order: known even when their rows are deleted.</param>
public sealed record StoredSeal(long Index, SealKind Kind, string PseId, DateTimeOffset Start, ImmutableArray<long> PollTimes, Digest Hash);

/// <summary>A quarter-hour of an element to which a poll was written after it was sealed, or may have been.</summary>
public readonly record struct LateMark(string PseId, DateTimeOffset Start);

/// <summary>How far sealing has come.</summary>
/// <param name="Size">Leaves in the tree.</param>
/// <param name="LastStart">Begin of the newest sealed quarter-hour; null where none is.</param>
public sealed record SealState(long Size, DateTimeOffset? LastStart);

/// <summary>What is appended in one transaction.</summary>
/// <param name="FirstIndex">Size of the tree before. Where the store has another, nothing is written.</param>
/// <param name="Tiles">Hashes of subtrees that the leaves complete.</param>
/// <param name="Root">Root of the day that ends with these leaves, if one does.</param>
/// <param name="Done">Marks that these leaves answer.</param>
public sealed record SealBatch(
    long FirstIndex, ImmutableArray<StoredSeal> Leaves, ImmutableArray<TreeTile> Tiles, SealedRoot? Root, ImmutableArray<LateMark> Done);

/// <summary>The hash tree over the history: appended to, never changed. Implementations are thread safe.</summary>
public interface ISealStore
{
    Task<SealState> ReadSealStateAsync(CancellationToken cancellationToken);

    /// <summary>Appends leaves; synced when it returns, whole or not at all.</summary>
    /// <exception cref="StoreException">Among others where the tree has another size than the batch begins at: somebody else appended.</exception>
    Task AppendSealsAsync(SealBatch batch, CancellationToken cancellationToken);

    /// <summary>Leaves of one element whose quarter-hours begin in [from, to), in order of quarter-hour and index.</summary>
    Task<IReadOnlyList<StoredSeal>> ReadSealsAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken);

    /// <summary>Hashes of leaves (level 0) or of subtrees of a kept level, in order, from an index on; fewer where there are no more.</summary>
    Task<IReadOnlyList<Digest>> ReadHashesAsync(int level, long first, int count, CancellationToken cancellationToken);

    /// <summary>All roots of days, oldest first.</summary>
    Task<IReadOnlyList<SealedRoot>> ReadRootsAsync(CancellationToken cancellationToken);
}

/// <summary>Remembers which sealed quarter-hours got polls later, over a crash too. Implementations are thread safe.</summary>
public interface ILateMarkStore
{
    /// <summary>Notes marks; synced when it returns. One that is there stays.</summary>
    Task MarkLateAsync(IReadOnlyCollection<LateMark> marks, CancellationToken cancellationToken);

    /// <summary>Marks that no batch has answered yet, at most so many.</summary>
    Task<IReadOnlyList<LateMark>> ReadLateAsync(int max, CancellationToken cancellationToken);

    /// <summary>Every element that has leaves, in ordinal order.</summary>
    Task<IReadOnlyList<string>> ReadSealedElementsAsync(CancellationToken cancellationToken);
}

/// <summary>Carries a day's root away from this machine. Called at least once for each root: again after a restart for those of the last week, so what was sent must be known.</summary>
public interface IRootPublisher
{
    /// <summary>False where it could not be done now; it is tried again.</summary>
    Task<bool> TryPublishAsync(SealedRoot root, CancellationToken cancellationToken);
}

/// <summary>Signs with the operator's key. Thread safe.</summary>
public interface IEvidenceSigner
{
    /// <summary>SHA-256 of the public key (SubjectPublicKeyInfo), hex; empty where there is no key.</summary>
    string KeyId { get; }

    /// <summary>ECDSA P-256 with SHA-256, DER (RFC 3279); null where there is no key.</summary>
    byte[]? Sign(ReadOnlySpan<byte> data);
}
