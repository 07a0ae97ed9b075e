using System.Text;
using System.Text.Json;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Evidence.Exports;

namespace PoeWatch.Evidence.Checks;

/// <summary>
/// Checks rows against leaves and leaves against the tree, a quarter-hour of an element at a time: no more is held. Not thread safe.
/// </summary>
internal sealed class RowsCheck(ExportFiles files, TreeHead head, ManifestDocument? manifest, Findings findings)
{
    private readonly LeafCheck _leaves = new(head, findings);
    private readonly List<string> _gaps = [];
    private LeafDocument? _before;
    private long _leafCount;

    public async Task CheckAsync(CancellationToken cancellationToken)
    {
        await using var raw = files.Read(EvidenceFiles.Raw);
        await using var leaves = files.Read(EvidenceFiles.Leaves);
        if (raw is null || leaves is null)
        {
            return;
        }

        var lines = new RawLines(raw, findings);
        try
        {
            Merge(lines.All(), Leaves(leaves), cancellationToken);
        }
        catch (Exception broken) when (broken is InvalidDataException or DecoderFallbackException)
        {
            findings.Fault($"raw.csv or leaves.jsonl was changed: it cannot be read to its end ({broken.Message}). Rows and leaves behind that place were not checked.");
            return;
        }

        Counts(lines.Count);
        _leaves.Report();
    }

    private void Counts(long rows)
    {
        if (manifest is not null && manifest.Counts.Rows != rows)
        {
            findings.Fault($"raw.csv has {rows} rows, the manifest says {manifest.Counts.Rows}: rows were removed or added.");
        }

        var isShort = manifest is not null && manifest.Counts.Leaves != _leafCount;
        if (isShort)
        {
            findings.Fault($"leaves.jsonl has {_leafCount} leaves, the manifest says {manifest!.Counts.Leaves}: leaves were removed or added.");
        }

        foreach (var gap in _gaps)
        {
            if (isShort)
            {
                findings.Fault($"Leaves are missing: {gap}.");
            }
            else
            {
                findings.Note($"There are no leaves of {gap}: the element was in no design then, or sealing had not begun.");
            }
        }

        findings.Say($"{rows} rows and {_leafCount} leaves were held against each other and the tree.");
    }

    private void Merge(IEnumerable<RawLine> lines, IEnumerable<LeafDocument> leaves, CancellationToken cancellationToken)
    {
        using var rawGroups = Groups(lines, l => (l.Row.PseId, l.Row.IntervalStart)).GetEnumerator();
        using var leafGroups = Groups(leaves, l => (l.PseId, EvidenceTime.TryRead(l.Start, out var start) ? start : 0)).GetEnumerator();
        var (hasRaw, hasLeaf) = (rawGroups.MoveNext(), leafGroups.MoveNext());
        while (hasRaw || hasLeaf)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var order = !hasRaw ? 1 : !hasLeaf ? -1 : Compare(rawGroups.Current.Key, leafGroups.Current.Key);
            _leaves.Check(
                order <= 0 ? rawGroups.Current.Key : leafGroups.Current.Key, order <= 0 ? rawGroups.Current.Items : [], order >= 0 ? leafGroups.Current.Items : []);
            hasRaw = order <= 0 ? rawGroups.MoveNext() : hasRaw;
            hasLeaf = order >= 0 ? leafGroups.MoveNext() : hasLeaf;
        }
    }

    private IEnumerable<LeafDocument> Leaves(Stream file)
    {
        using var text = new StreamReader(file, new UTF8Encoding(false, throwOnInvalidBytes: true), detectEncodingFromByteOrderMarks: false);
        for (var number = 1; text.ReadLine() is { } line; number++)
        {
            LeafDocument? leaf = null;
            try
            {
                leaf = JsonSerializer.Deserialize<LeafDocument>(line, EvidenceJson.Lines);
            }
            catch (JsonException broken)
            {
                findings.Fault($"leaves.jsonl, line {number} was changed: it cannot be read ({broken.Message})");
            }

            if (leaf is not null)
            {
                _leafCount++;
                InOrder(leaf, number);
                yield return leaf;
            }
        }
    }

    private void InOrder(LeafDocument leaf, int number)
    {
        if (_before is { } before && before.PseId == leaf.PseId && EvidenceTime.TryRead(before.Start, out var last) && EvidenceTime.TryRead(leaf.Start, out var start))
        {
            if (start < last || (start == last && leaf.Index <= before.Index))
            {
                findings.Fault($"leaves.jsonl, line {number} ({leaf.PseId}, {leaf.Start}) is out of order: it stands behind {before.Start}.");
            }
            else if (start > last && SealInterval.TimeOf(start) - SealInterval.TimeOf(last) != SealInterval.Length)
            {
                _gaps.Add($"{leaf.PseId} between {before.Start} and {leaf.Start}");
            }
        }
        else if (_before is { } other && string.CompareOrdinal(other.PseId, leaf.PseId) > 0)
        {
            findings.Fault($"leaves.jsonl, line {number} ({leaf.PseId}, {leaf.Start}) is out of order: it stands behind {other.PseId}.");
        }

        _before = leaf;
    }

    private static IEnumerable<((string PseId, long Start) Key, List<T> Items)> Groups<T>(IEnumerable<T> items, Func<T, (string, long)> keyOf)
    {
        (string, long) key = default;
        List<T> group = [];
        foreach (var item in items)
        {
            var next = keyOf(item);
            if (group.Count > 0 && next != key)
            {
                yield return (key, group);
                group = [];
            }

            key = next;
            group.Add(item);
        }

        if (group.Count > 0)
        {
            yield return (key, group);
        }
    }

    private static int Compare((string PseId, long Start) a, (string PseId, long Start) b)
    {
        var byElement = string.CompareOrdinal(a.PseId, b.PseId);
        return byElement != 0 ? byElement : a.Start.CompareTo(b.Start);
    }
}
