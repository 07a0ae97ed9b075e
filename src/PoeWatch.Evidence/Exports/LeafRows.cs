using System.Collections.Immutable;
using System.Text;
using System.Text.Json;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Evidence.Exports;

/// <summary>What the parts of an export count together.</summary>
internal sealed class ExportCounts
{
    public long Polls { get; set; }

    public long Rows { get; set; }

    public long UnsealedPolls { get; set; }

    public long Leaves { get; set; }

    public long DeletedPolls { get; set; }

    public long QuarterHours { get; set; }

    public long Gaps { get; set; }
}

/// <summary>
/// Writes the raw rows of one element and the leaves that they are proven by, a quarter-hour at a time: no more than that is held. Not thread safe.
/// </summary>
/// <param name="treeSize">Leaves from this index on came after the export began and are left out.</param>
internal sealed class LeafRows(
    IHistoryStore history, ISealStore seals, TreeReader tree, long treeSize, DesignTimeline designs, EvidenceSubject subject,
    IReadOnlyList<IEvidenceTable> raw, StreamWriter leaves, ExportCounts counts)
{
    private static readonly TimeSpan Piece = TimeSpan.FromDays(1);

    public async Task WriteAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        for (var start = from; start < to; start += Piece)
        {
            var end = start + Piece < to ? start + Piece : to;
            var stored = (await seals.ReadSealsAsync(pseId, start, end, cancellationToken).ConfigureAwait(false))
                .Where(s => s.Index < treeSize).ToLookup(s => s.Start);
            var polls = new List<SwitchReading>();
            var interval = start;
            await foreach (var reading in history.ReadAsync(pseId, start, end, cancellationToken).ConfigureAwait(false))
            {
                while (reading.At >= interval + SealInterval.Length)
                {
                    await WriteAsync(polls, [.. stored[interval]], cancellationToken).ConfigureAwait(false);
                    polls.Clear();
                    interval += SealInterval.Length;
                }

                polls.Add(reading);
            }

            for (; interval < end; interval += SealInterval.Length)
            {
                await WriteAsync(polls, [.. stored[interval]], cancellationToken).ConfigureAwait(false);
                polls.Clear();
            }
        }
    }

    private async Task WriteAsync(List<SwitchReading> polls, StoredSeal[] stored, CancellationToken cancellationToken)
    {
        var covered = stored.SelectMany(s => s.PollTimes).ToHashSet();
        var known = new Dictionary<long, PollDocument>();
        foreach (var reading in polls)
        {
            var at = SealInterval.MicrosecondsOf(reading.At);
            var isSealed = covered.Contains(at);
            known[at] = await WriteAsync(reading, isSealed, cancellationToken).ConfigureAwait(false);
            counts.Polls++;
            counts.UnsealedPolls += isSealed ? 0 : 1;
        }

        foreach (var leaf in stored)
        {
            var ofLeaf = leaf.PollTimes.Select(at => known.GetValueOrDefault(at) ?? new PollDocument(EvidenceTime.Write(at), 0, string.Empty, [], true)).ToImmutableArray();
            var proof = await tree.InclusionAsync(leaf.Index, treeSize, cancellationToken).ConfigureAwait(false);
            var line = new LeafDocument(
                leaf.Index, leaf.Kind == SealKind.Seal ? "seal" : "amendment", leaf.PseId, EvidenceTime.Write(leaf.Start), ofLeaf, leaf.Hash.ToString(),
                [.. proof.Select(p => p.ToString())]);
            await leaves.WriteAsync(new StringBuilder(JsonSerializer.Serialize(line, EvidenceJson.Lines)).Append('\n'), cancellationToken).ConfigureAwait(false);
            counts.Leaves++;
            counts.DeletedPolls += ofLeaf.Count(p => p.IsDeleted);
        }
    }

    private async Task<PollDocument> WriteAsync(SwitchReading reading, bool isSealed, CancellationToken cancellationToken)
    {
        var rows = CanonicalRow.RowsOf(reading);
        var hashes = rows.Select(CanonicalRow.HashOf).ToArray();
        for (var number = 0; number < rows.Count; number++)
        {
            if (IsShown(rows[number], reading.At))
            {
                var values = RawRows.Values(rows[number], number, designs, reading.Outcome, isSealed);
                foreach (var table in raw)
                {
                    await table.AddAsync(values, cancellationToken).ConfigureAwait(false);
                }

                counts.Rows++;
            }
        }

        var hidden = subject.IsWhole ? [] : PrunedTree.Prune(hashes, number => IsShown(rows[number], reading.At));
        return new PollDocument(
            EvidenceTime.Write(reading.At), rows.Count, HashTree.Root(hashes).ToString(), [.. hidden.Select(h => h.ToString())], false);
    }

    private bool IsShown(EvidenceRow row, DateTimeOffset time) => row.Kind switch
    {
        EvidenceRowKind.Poll => true,
        EvidenceRowKind.Port => subject.Has(new PsePortRef(row.PseId, row.Group, row.Port), time),
        _ => subject.IsWhole,
    };
}
