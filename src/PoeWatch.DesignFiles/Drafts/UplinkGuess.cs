using System.Collections.Immutable;
using PoeWatch.Domain.Readings;

namespace PoeWatch.DesignFiles.Drafts;

/// <summary>Which of the given switches hang on which, out of LLDP. Pure.</summary>
internal static class UplinkGuess
{
    /// <summary>The given switch that a neighbour is: by chassis id, else by a name that only one of them has; -1 where it is none.</summary>
    public static int IndexOf(Neighbour neighbour, ImmutableArray<DraftSource> sources)
    {
        for (var i = 0; i < sources.Length; i++)
        {
            if (neighbour.Chassis.Length > 0 && sources[i].ChassisIds.Contains(neighbour.Chassis, StringComparer.OrdinalIgnoreCase))
            {
                return i;
            }
        }

        int[] named = [.. Enumerable.Range(0, sources.Length).Where(i => neighbour.SystemName.Length > 0 && sources[i].SystemName == neighbour.SystemName)];
        return named.Length == 1 ? named[0] : -1;
    }

    /// <summary>By switch: the one nearer to the service, the own interface that sees it, or null for a beginning. Never a loop.</summary>
    public static (int Near, string Interface, bool IsSeenFromNear)?[] Tree(ImmutableArray<DraftSource> sources)
    {
        var seen = new Dictionary<(int Of, int Other), string>();
        for (var i = 0; i < sources.Length; i++)
        {
            foreach (var (name, neighbour) in sources[i].Neighbours)
            {
                if (IndexOf(neighbour, sources) is >= 0 and var other && other != i)
                {
                    seen.TryAdd((i, other), name);
                }
            }
        }

        ILookup<int, int> beside = seen.Keys.SelectMany(pair => new[] { (pair.Of, pair.Other), (Of: pair.Other, Other: pair.Of) }).Distinct().ToLookup(pair => pair.Item1, pair => pair.Item2);
        var uplinks = new (int, string, bool)?[sources.Length];
        var reached = new bool[sources.Length];

        // Who has most neighbours among the given is taken for the middle; the order of the list decides between equals.
        foreach (var root in Enumerable.Range(0, sources.Length).OrderByDescending(i => beside[i].Count()))
        {
            var waiting = new Queue<int>(reached[root] ? [] : [root]);
            while (waiting.TryDequeue(out var near))
            {
                reached[near] = true;
                foreach (var far in beside[near].Where(far => !reached[far] && uplinks[far] is null && far != root).Order())
                {
                    uplinks[far] = seen.TryGetValue((far, near), out var own) ? (near, own, false) : (near, seen[(near, far)], true);
                    waiting.Enqueue(far);
                }
            }
        }

        return uplinks;
    }
}
