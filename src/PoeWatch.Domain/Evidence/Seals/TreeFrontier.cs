namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>The hash of a whole subtree of 2^Level leaves, the Index-th of its level. Immutable.</summary>
public readonly record struct TreeTile(int Level, long Index, Digest Hash);

/// <summary>The right edge of a growing tree: enough to append and to know the root. Not thread safe.</summary>
/// <remarks>Hashes of whole subtrees of 2^8, 2^16, … leaves are given out, for whoever keeps them: with these any proof is made from a few short reads.</remarks>
public sealed class TreeFrontier
{
    /// <summary>Levels between the subtrees whose hashes are kept.</summary>
    public const int LevelStep = 8;

    private readonly Digest?[] _whole = new Digest?[63];

    public long Size { get; private set; }

    /// <summary>The frontier of a tree that is there already.</summary>
    /// <param name="parts">Hashes of <see cref="PartsOf"/>, in its order.</param>
    public static TreeFrontier Of(long size, IReadOnlyList<Digest> parts)
    {
        var frontier = new TreeFrontier { Size = size };
        var next = 0;
        for (var level = frontier._whole.Length - 1; level >= 0; level--)
        {
            if ((size >> level & 1) == 1)
            {
                frontier._whole[level] = parts[next++];
            }
        }

        return frontier;
    }

    /// <summary>The whole subtrees that a tree of a size is made of, the largest first.</summary>
    public static IEnumerable<TreeRange> PartsOf(long size)
    {
        var start = 0L;
        for (var level = 62; level >= 0; level--)
        {
            if ((size >> level & 1) == 1)
            {
                yield return new TreeRange(start, 1L << level);
                start += 1L << level;
            }
        }
    }

    /// <summary>Appends a leaf; gives the hashes of the subtrees of kept levels that it completes.</summary>
    public IReadOnlyList<TreeTile> Append(Digest leaf)
    {
        List<TreeTile>? tiles = null;
        var (hash, level) = (leaf, 0);
        while (_whole[level] is { } left)
        {
            _whole[level] = null;
            (hash, level) = (HashTree.Parent(left, hash), level + 1);
            if (level % LevelStep == 0)
            {
                (tiles ??= []).Add(new TreeTile(level, Size >> level, hash));
            }
        }

        _whole[level] = hash;
        Size++;
        return tiles ?? [];
    }

    public Digest Root()
    {
        Digest? root = null;
        foreach (var part in _whole)
        {
            root = part is { } left ? root is { } right ? HashTree.Parent(left, right) : left : root;
        }

        return root ?? HashTree.Empty;
    }
}
