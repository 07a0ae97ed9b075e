using System.Collections.Immutable;
using System.Numerics;
using System.Security.Cryptography;

namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>Leaves [Start, Start + Count) of a tree, which have a hash of their own. Immutable.</summary>
public readonly record struct TreeRange(long Start, long Count);

/// <summary>
/// The hash tree of RFC 6962 section 2.1 over SHA-256: a leaf is SHA-256(0x00 ‖ data), a parent SHA-256(0x01 ‖ left ‖ right), the empty tree SHA-256 of
/// nothing; a tree of n leaves is split at the largest power of two below n. Pure and thread safe.
/// </summary>
public static class HashTree
{
    /// <summary>Root of a tree without leaves.</summary>
    public static Digest Empty { get; } = Digest.Of(SHA256.HashData([]));

    public static Digest Leaf(ReadOnlySpan<byte> data)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        hash.AppendData([0]);
        hash.AppendData(data);
        Span<byte> result = stackalloc byte[Digest.Bytes];
        hash.GetHashAndReset(result);
        return Digest.Of(result);
    }

    public static Digest Parent(Digest left, Digest right)
    {
        Span<byte> bytes = stackalloc byte[1 + (2 * Digest.Bytes)];
        bytes[0] = 1;
        left.CopyTo(bytes[1..]);
        right.CopyTo(bytes[(1 + Digest.Bytes)..]);
        Span<byte> result = stackalloc byte[Digest.Bytes];
        SHA256.HashData(bytes, result);
        return Digest.Of(result);
    }

    /// <summary>Root over hashes of leaves.</summary>
    public static Digest Root(ReadOnlySpan<Digest> leaves)
    {
        if (leaves.IsEmpty)
        {
            return Empty;
        }

        if (leaves.Length == 1)
        {
            return leaves[0];
        }

        var split = (int)SplitOf(leaves.Length);
        return Parent(Root(leaves[..split]), Root(leaves[split..]));
    }

    /// <summary>The largest power of two below a number of leaves, which must be 2 or more.</summary>
    public static long SplitOf(long count) => 1L << (63 - BitOperations.LeadingZeroCount((ulong)(count - 1)));

    /// <summary>The ranges whose hashes prove that a leaf is in a tree, the lowest first (RFC 6962 section 2.1.1).</summary>
    public static ImmutableArray<TreeRange> InclusionRanges(long index, long size)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(index);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(index, size);
        var path = ImmutableArray.CreateBuilder<TreeRange>();
        var (start, count) = (0L, size);
        while (count > 1)
        {
            var split = SplitOf(count);
            if (index - start < split)
            {
                path.Add(new TreeRange(start + split, count - split));
                count = split;
            }
            else
            {
                path.Add(new TreeRange(start, split));
                (start, count) = (start + split, count - split);
            }
        }

        path.Reverse();
        return path.ToImmutable();
    }

    /// <summary>The ranges whose hashes prove that a tree of <paramref name="size"/> leaves begins with one of <paramref name="earlier"/> (RFC 6962 section 2.1.2).</summary>
    public static ImmutableArray<TreeRange> ConsistencyRanges(long earlier, long size)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(earlier);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(earlier, size);
        if (earlier == 0 || earlier == size)
        {
            return [];
        }

        var path = ImmutableArray.CreateBuilder<TreeRange>();
        var (start, count, isWhole) = (0L, size, true);
        while (earlier - start != count)
        {
            var split = SplitOf(count);
            if (earlier - start <= split)
            {
                path.Add(new TreeRange(start + split, count - split));
                count = split;
            }
            else
            {
                path.Add(new TreeRange(start, split));
                (start, count, isWhole) = (start + split, count - split, false);
            }
        }

        if (!isWhole)
        {
            path.Add(new TreeRange(start, count));
        }

        path.Reverse();
        return path.ToImmutable();
    }

    /// <summary>Root that a leaf and its proof lead to; null where the proof does not fit index and size (RFC 9162 section 2.1.3.2).</summary>
    public static Digest? RootOfInclusion(long index, long size, Digest leaf, IReadOnlyList<Digest> proof)
    {
        if (index < 0 || index >= size)
        {
            return null;
        }

        var (place, last, root) = (index, size - 1, leaf);
        foreach (var step in proof)
        {
            if (last == 0)
            {
                return null;
            }

            if ((place & 1) == 1 || place == last)
            {
                root = Parent(step, root);
                while ((place & 1) == 0 && place != 0)
                {
                    (place, last) = (place >> 1, last >> 1);
                }
            }
            else
            {
                root = Parent(root, step);
            }

            (place, last) = (place >> 1, last >> 1);
        }

        return last == 0 ? root : null;
    }

    /// <summary>True where the proof shows that the later tree begins with the earlier one (RFC 9162 section 2.1.4.2). The empty tree begins every tree.</summary>
    public static bool IsConsistent(long earlier, Digest earlierRoot, long size, Digest root, IReadOnlyList<Digest> proof)
    {
        if (earlier < 0 || earlier > size)
        {
            return false;
        }

        if (earlier == 0 || earlier == size)
        {
            return proof.Count == 0 && (earlier == 0 ? earlierRoot == Empty : earlierRoot == root);
        }

        var isWhole = BitOperations.IsPow2(earlier);
        if (proof.Count == 0 || (!isWhole && proof.Count == 1))
        {
            return false;
        }

        var (place, last) = (earlier - 1, size - 1);
        while ((place & 1) == 1)
        {
            (place, last) = (place >> 1, last >> 1);
        }

        var first = isWhole ? earlierRoot : proof[0];
        var (before, after) = (first, first);
        foreach (var step in proof.Skip(isWhole ? 0 : 1))
        {
            if (last == 0)
            {
                return false;
            }

            if ((place & 1) == 1 || place == last)
            {
                (before, after) = (Parent(step, before), Parent(step, after));
                while ((place & 1) == 0 && place != 0)
                {
                    (place, last) = (place >> 1, last >> 1);
                }
            }
            else
            {
                after = Parent(after, step);
            }

            (place, last) = (place >> 1, last >> 1);
        }

        return before == earlierRoot && after == root && last == 0;
    }
}
