using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.TestKit.Stores;

/// <summary>The hash tree in memory; fails on demand before or after a write. Thread safe.</summary>
public sealed class MemorySeals : ISealStore, ILateMarkStore
{
    private readonly Lock _gate = new();
    private readonly List<StoredSeal> _leaves = [];
    private readonly Dictionary<(int Level, long Index), Digest> _tiles = [];
    private readonly List<SealedRoot> _roots = [];
    private readonly HashSet<LateMark> _marks = [];

    /// <summary>What the next append throws before it writes; null where it works.</summary>
    public Exception? FailBefore { get; set; }

    /// <summary>What the next append throws after it has written: its answer is lost.</summary>
    public Exception? FailAfter { get; set; }

    public IReadOnlyList<StoredSeal> Leaves => Locked(() => _leaves.ToArray());

    public IReadOnlyList<SealedRoot> Roots => Locked(() => _roots.ToArray());

    public Task<SealState> ReadSealStateAsync(CancellationToken cancellationToken) => Task.FromResult(Locked(() =>
        new SealState(_leaves.Count, _leaves.LastOrDefault(l => l.Kind == SealKind.Seal)?.Start)));

    public Task AppendSealsAsync(SealBatch batch, CancellationToken cancellationToken)
    {
        if (FailBefore is { } before)
        {
            FailBefore = null;
            return Task.FromException(before);
        }

        Locked(() =>
        {
            if (batch.FirstIndex != _leaves.Count)
            {
                throw new StoreException($"The tree has {_leaves.Count} leaves, not {batch.FirstIndex}.");
            }

            _leaves.AddRange(batch.Leaves);
            foreach (var tile in batch.Tiles)
            {
                _tiles.Add((tile.Level, tile.Index), tile.Hash);
            }

            if (batch.Root is { } root && _roots.All(r => r.Day != root.Day))
            {
                _roots.Add(root);
            }

            _marks.ExceptWith(batch.Done);
            return true;
        });
        if (FailAfter is { } after)
        {
            FailAfter = null;
            return Task.FromException(after);
        }

        return Task.CompletedTask;
    }

    public Task<IReadOnlyList<StoredSeal>> ReadSealsAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        Task.FromResult<IReadOnlyList<StoredSeal>>(Locked(() =>
            _leaves.Where(l => l.PseId == pseId && l.Start >= from && l.Start < to).OrderBy(l => l.Start).ThenBy(l => l.Index).ToArray()));

    public Task<IReadOnlyList<Digest>> ReadHashesAsync(int level, long first, int count, CancellationToken cancellationToken) =>
        Task.FromResult<IReadOnlyList<Digest>>(Locked(() => level == 0
            ? _leaves.Skip((int)first).Take(count).Select(l => l.Hash).ToArray()
            : _tiles.Where(t => t.Key.Level == level && t.Key.Index >= first && t.Key.Index < first + count).OrderBy(t => t.Key.Index).Select(t => t.Value).ToArray()));

    public Task<IReadOnlyList<SealedRoot>> ReadRootsAsync(CancellationToken cancellationToken) => Task.FromResult(Roots);

    public Task MarkLateAsync(IReadOnlyCollection<LateMark> marks, CancellationToken cancellationToken)
    {
        Locked(() =>
        {
            _marks.UnionWith(marks);
            return true;
        });
        return Task.CompletedTask;
    }

    public Task<IReadOnlyList<LateMark>> ReadLateAsync(int max, CancellationToken cancellationToken) =>
        Task.FromResult<IReadOnlyList<LateMark>>(Locked(() => _marks.OrderBy(m => m.PseId, StringComparer.Ordinal).ThenBy(m => m.Start).Take(max).ToArray()));

    public Task<IReadOnlyList<string>> ReadSealedElementsAsync(CancellationToken cancellationToken) =>
        Task.FromResult<IReadOnlyList<string>>(Locked(() => _leaves.Select(l => l.PseId).Distinct().Order(StringComparer.Ordinal).ToArray()));

    private T Locked<T>(Func<T> work)
    {
        lock (_gate)
        {
            return work();
        }
    }
}
