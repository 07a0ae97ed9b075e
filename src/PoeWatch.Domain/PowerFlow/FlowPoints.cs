using System.Collections;
using System.Diagnostics.CodeAnalysis;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>States by element id, in the order of the run. Immutable and thread safe.</summary>
internal sealed class FlowPoints(FlowTree tree, FlowPoint[] points) : IReadOnlyDictionary<string, FlowPoint>
{
    public int Count => points.Length;

    public IEnumerable<string> Keys => Enumerable.Range(0, Count).Select(index => tree.Place(index).ElementId);

    public IEnumerable<FlowPoint> Values => points;

    public FlowPoint this[string key] => TryGetValue(key, out var point) ? point : throw new KeyNotFoundException($"Run {tree.Run.Id} has no element '{key}'.");

    public bool ContainsKey(string key) => tree.FindIndex(key) >= 0;

    public bool TryGetValue(string key, [MaybeNullWhen(false)] out FlowPoint value)
    {
        var index = tree.FindIndex(key);
        value = index >= 0 ? points[index] : default;
        return index >= 0;
    }

    public IEnumerator<KeyValuePair<string, FlowPoint>> GetEnumerator() =>
        Enumerable.Range(0, Count).Select(index => KeyValuePair.Create(tree.Place(index).ElementId, points[index])).GetEnumerator();

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
