using System.Collections.Immutable;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>A row of the journal.</summary>
public readonly record struct StoredPoll(PollRow Row, byte[] Payload);

/// <summary>A block as it is stored.</summary>
public readonly record struct StoredBlock(BlockRow Row, byte[] Payload);

/// <summary>Blocks and journal rows of one element at one moment. A poll may be in both or in two parts: the earliest part counts.</summary>
public sealed record HistoryPage(IReadOnlyList<StoredBlock> Blocks, IReadOnlyList<StoredPoll> Polls);

/// <summary>What is packed of one hour: new blocks, and the journal rows that go for them.</summary>
public sealed record PackedHour(string PseId, IReadOnlyList<StoredBlock> Blocks, IReadOnlyList<long> JournalMicroseconds);

/// <summary>Newest traces of one element: its newest journal row, and the hour of its newest block in microseconds.</summary>
public readonly record struct NewestOf(string PseId, StoredPoll? Poll, long? BlockHour);

/// <summary>
/// The few statements in which the stores differ; merging and packing stand in <see cref="HistoryReader"/> and <see cref="HistoryPacker"/>. Thread safe.
/// </summary>
public interface IHistoryPages
{
    /// <summary>
    /// As of one moment: blocks of the hours from that of <paramref name="from"/> to that of <paramref name="to"/>, by hour and part, and journal rows in
    /// [from, to] by time; the first so many of each.
    /// </summary>
    Task<HistoryPage> ReadPageAsync(string pseId, long from, long to, int blocksMax, int pollsMax, CancellationToken cancellationToken);

    /// <summary>The interface names of a row.</summary>
    Task<ImmutableDictionary<PsePortRef, string>> ReadNamesAsync(long namesId, string pseId, CancellationToken cancellationToken);

    /// <summary>Newest traces of every element, by name.</summary>
    Task<IReadOnlyList<NewestOf>> ReadNewestAsync(CancellationToken cancellationToken);

    /// <summary>For each element its oldest journal row before a time, in microseconds; elements in <paramref name="from"/> are looked at from that time on.</summary>
    Task<IReadOnlyList<(string PseId, long Oldest)>> FindOldestAsync(long before, IReadOnlyDictionary<string, long> from, CancellationToken cancellationToken);

    /// <summary>Writes blocks and deletes the journal rows that went into them, in one short transaction. Where a row is gone already nothing is written.</summary>
    Task WritePackedAsync(IReadOnlyList<PackedHour> hours, CancellationToken cancellationToken);
}
