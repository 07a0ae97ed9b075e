namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>
/// A tree of which only some leaves are shown: every largest subtree without a shown leaf is given as one hash, from left to right. It proves all
/// shown leaves at once. Pure and thread safe.
/// </summary>
public static class PrunedTree
{
    /// <summary>The hashes that stand for what is not shown.</summary>
    /// <param name="leaves">Hashes of all leaves.</param>
    /// <param name="isShown">Whether the leaf at an index is shown.</param>
    public static List<Digest> Prune(ReadOnlySpan<Digest> leaves, Func<int, bool> isShown)
    {
        var hidden = new List<Digest>();
        Prune(leaves, 0, isShown, hidden);
        return hidden;
    }

    /// <summary>The root; null where the hashes do not fit the shown leaves.</summary>
    /// <param name="count">Number of all leaves.</param>
    /// <param name="shown">Shown leaves, by index.</param>
    public static Digest? Root(int count, IReadOnlyDictionary<int, Digest> shown, IReadOnlyList<Digest> hidden)
    {
        if (count == 0)
        {
            return shown.Count == 0 && hidden.Count == 0 ? HashTree.Empty : null;
        }

        int[] indices = [.. shown.Keys.Order()];
        if (indices.Length > 0 && (indices[0] < 0 || indices[^1] >= count))
        {
            return null;
        }

        var next = 0;
        var root = Join(0, count);
        return next == hidden.Count ? root : null;

        Digest? Join(int start, int length)
        {
            if (!HasShown(start, length))
            {
                return next < hidden.Count ? hidden[next++] : null;
            }

            if (length == 1)
            {
                return shown[start];
            }

            var split = (int)HashTree.SplitOf(length);
            return Join(start, split) is { } left && Join(start + split, length - split) is { } right ? HashTree.Parent(left, right) : null;
        }

        bool HasShown(int start, int length)
        {
            var at = Array.BinarySearch(indices, start);
            at = at < 0 ? ~at : at;
            return at < indices.Length && indices[at] < start + length;
        }
    }

    private static bool Prune(ReadOnlySpan<Digest> leaves, int start, Func<int, bool> isShown, List<Digest> hidden)
    {
        if (leaves.Length <= 1)
        {
            var shows = leaves.Length == 1 && isShown(start);
            if (leaves.Length == 1 && !shows)
            {
                hidden.Add(leaves[0]);
            }

            return shows;
        }

        var split = (int)HashTree.SplitOf(leaves.Length);
        var before = hidden.Count;
        var left = Prune(leaves[..split], start, isShown, hidden);
        var right = Prune(leaves[split..], start + split, isShown, hidden);
        if (!left && !right)
        {
            // Two hidden halves become one hash.
            hidden.RemoveRange(before, hidden.Count - before);
            hidden.Add(HashTree.Root(leaves));
        }

        return left || right;
    }
}
