using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Sealing;

/// <summary>Makes hashes of ranges and proofs out of what the store keeps, with a few short reads each. Remembers what it read; not thread safe.</summary>
public sealed class TreeReader(ISealStore store)
{
    private const int TileWidth = 1 << TreeFrontier.LevelStep;

    // 4,096 tiles of 256 hashes: 32 MiB.
    private const int TilesMax = 4_096;

    private readonly Dictionary<(int Level, long Tile), Digest[]> _tiles = [];

    public async Task<List<Digest>> InclusionAsync(long index, long size, CancellationToken cancellationToken) =>
        await RootsAsync(HashTree.InclusionRanges(index, size), cancellationToken).ConfigureAwait(false);

    public async Task<List<Digest>> ConsistencyAsync(long earlier, long size, CancellationToken cancellationToken) =>
        await RootsAsync(HashTree.ConsistencyRanges(earlier, size), cancellationToken).ConfigureAwait(false);

    /// <summary>The right edge of the tree at a size.</summary>
    public async Task<TreeFrontier> FrontierAsync(long size, CancellationToken cancellationToken) =>
        TreeFrontier.Of(size, await RootsAsync(TreeFrontier.PartsOf(size), cancellationToken).ConfigureAwait(false));

    private async Task<List<Digest>> RootsAsync(IEnumerable<TreeRange> ranges, CancellationToken cancellationToken)
    {
        var roots = new List<Digest>();
        foreach (var range in ranges)
        {
            roots.Add(await RootAsync(range, cancellationToken).ConfigureAwait(false));
        }

        return roots;
    }

    // The ranges of RFC 6962 begin at a multiple of the largest power of two in them, so each falls into whole subtrees.
    private async Task<Digest> RootAsync(TreeRange range, CancellationToken cancellationToken)
    {
        if (long.IsPow2(range.Count))
        {
            var level = (int)long.Log2(range.Count);
            return await WholeAsync(level, range.Start >> level, cancellationToken).ConfigureAwait(false);
        }

        var split = HashTree.SplitOf(range.Count);
        return HashTree.Parent(
            await RootAsync(new TreeRange(range.Start, split), cancellationToken).ConfigureAwait(false),
            await RootAsync(new TreeRange(range.Start + split, range.Count - split), cancellationToken).ConfigureAwait(false));
    }

    private async Task<Digest> WholeAsync(int level, long index, CancellationToken cancellationToken)
    {
        var kept = level / TreeFrontier.LevelStep * TreeFrontier.LevelStep;
        var count = 1 << (level - kept);
        var first = index * count;
        var tile = await TileAsync(kept, first / TileWidth, cancellationToken).ConfigureAwait(false);
        var at = (int)(first % TileWidth);
        return at + count <= tile.Length
            ? HashTree.Root(tile.AsSpan(at, count))
            : throw new StoreException($"The hash tree has no {count} hashes of level {kept} from {first} on: the store is damaged. Restore it from a backup.");
    }

    private async Task<Digest[]> TileAsync(int level, long tile, CancellationToken cancellationToken)
    {
        if (_tiles.TryGetValue((level, tile), out var known))
        {
            return known;
        }

        Digest[] read = [.. await store.ReadHashesAsync(level, tile * TileWidth, TileWidth, cancellationToken).ConfigureAwait(false)];
        if (read.Length == TileWidth)
        {
            if (_tiles.Count == TilesMax)
            {
                _tiles.Clear();
            }

            // A tile that still grows is read again.
            _tiles.Add((level, tile), read);
        }

        return read;
    }
}
