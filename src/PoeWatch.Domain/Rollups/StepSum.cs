using System.Collections.Immutable;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Rollups;

/// <summary>Adds what held at several places at the same time. Pure and thread safe.</summary>
public static class StepSum
{
    /// <summary>
    /// The sum where all places are known, no better known than the weakest of them; elsewhere there is no stretch. One sweep over all beginnings and ends,
    /// so that a site of thousands of places takes no longer a place than a pole of two.
    /// </summary>
    /// <param name="parts">Each in order of time and without overlap.</param>
    public static ImmutableArray<DrawSpan> Of(IReadOnlyList<ImmutableArray<DrawSpan>> parts)
    {
        var edges = new Edge[2 * parts.Sum(p => p.Length)];
        var count = 0;
        foreach (var span in parts.SelectMany(p => p).Where(s => s.Power.Watts is not null && s.End > s.Start))
        {
            var milliwatts = span.Power.Watts!.Value.Milliwatts;
            edges[count++] = new Edge(span.Start, milliwatts, span.Power.Provenance, 1);
            edges[count++] = new Edge(span.End, -milliwatts, span.Power.Provenance, -1);
        }

        Array.Sort(edges, 0, count, Comparer<Edge>.Create(static (a, b) => a.At.CompareTo(b.At)));
        var sums = ImmutableArray.CreateBuilder<DrawSpan>();
        var state = new Sum();
        for (var i = 0; i < count; i++)
        {
            if (i > 0 && edges[i].At > edges[i - 1].At && state.Places == parts.Count)
            {
                sums.Add(new DrawSpan(edges[i - 1].At, edges[i].At, state.Power));
            }

            state.Take(edges[i]);
        }

        return sums.ToImmutable();
    }

    private readonly record struct Edge(DateTimeOffset At, long Milliwatts, Provenance Provenance, int Count);

    private sealed class Sum
    {
        private readonly int[] _ways = new int[(int)Provenance.Design + 1];
        private long _milliwatts;

        public int Places { get; private set; }

        public KnownPower Power
        {
            get
            {
                var weakest = Provenance.Off;
                for (var way = 0; way < _ways.Length; way++)
                {
                    weakest = _ways[way] > 0 ? ProvenanceRules.Sum(weakest, (Provenance)way) : weakest;
                }

                return new KnownPower(Quantities.Power.FromMilliwatts(_milliwatts), weakest);
            }
        }

        public void Take(Edge edge)
        {
            Places += edge.Count;
            _milliwatts += edge.Milliwatts;
            _ways[(int)edge.Provenance] += edge.Count;
        }
    }
}
