using System.Collections.Immutable;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Sealing;

/// <summary>What came of <see cref="HistoryProof"/>. Immutable.</summary>
/// <param name="Leaves">Leaves in the tree.</param>
/// <param name="Recomputed">Leaves whose hash was worked out again from the readings and is the one that was sealed.</param>
/// <param name="WithoutReadings">Leaves of which readings are gone: deleted by retention, or lost. Their hashes are there, what they said is not.</param>
/// <param name="Roots">Roots of days that follow from the leaves as they were signed.</param>
/// <param name="FaultCount">Number of faults; 0 where everything fits.</param>
/// <param name="Faults">The first of them, in words.</param>
public sealed record HistoryProofResult(long Leaves, long Recomputed, long WithoutReadings, int Roots, long FaultCount, ImmutableArray<string> Faults);

/// <summary>
/// Works out every sealed leaf of a store again from its readings, and the tree and the roots of days from the leaves: says whether a store that was moved or
/// restored is what was sealed. Reads only; a service may write meanwhile. Memory is bounded by a month of one element. Used once; not thread safe.
/// </summary>
public sealed class HistoryProof(IHistoryStore history, ISealStore seals, ILateMarkStore elements)
{
    private const int FaultsMax = 20;
    private const int HashesARead = 1 << TreeFrontier.LevelStep;

    // How far back leaves are looked for, in steps; a tree that is whole is found long before.
    private static readonly TimeSpan Step = TimeSpan.FromDays(31);
    private const int StepsMax = 1_200;

    private readonly ImmutableArray<string>.Builder _faults = ImmutableArray.CreateBuilder<string>();
    private long _faultCount;
    private long _recomputed;
    private long _withoutReadings;
    private int _roots;

    public async Task<HistoryProofResult> ProveAsync(CancellationToken cancellationToken)
    {
        var state = await seals.ReadSealStateAsync(cancellationToken).ConfigureAwait(false);
        await ProveTreeAsync(state.Size, cancellationToken).ConfigureAwait(false);
        if (state.LastStart is { } last)
        {
            await ProveLeavesAsync(state.Size, last, cancellationToken).ConfigureAwait(false);
        }

        return new HistoryProofResult(state.Size, _recomputed, _withoutReadings, _roots, _faultCount, _faults.ToImmutable());
    }

    private async Task ProveTreeAsync(long size, CancellationToken cancellationToken)
    {
        var frontier = new TreeFrontier();
        var roots = new Queue<SealedRoot>((await seals.ReadRootsAsync(cancellationToken).ConfigureAwait(false)).OrderBy(r => r.Size));
        while (frontier.Size < size)
        {
            var count = (int)Math.Min(HashesARead, size - frontier.Size);
            var hashes = await seals.ReadHashesAsync(0, frontier.Size, count, cancellationToken).ConfigureAwait(false);
            if (hashes.Count < count)
            {
                Fault($"The tree lacks {count - hashes.Count} of the {count} leaves from {frontier.Size} on: what comes after cannot be worked out.");
                return;
            }

            foreach (var hash in hashes)
            {
                CheckRoots(roots, frontier);
                foreach (var tile in frontier.Append(hash))
                {
                    var kept = await seals.ReadHashesAsync(tile.Level, tile.Index, 1, cancellationToken).ConfigureAwait(false);
                    if (kept.Count == 0 || kept[0] != tile.Hash)
                    {
                        Fault($"The kept hash {tile.Index} of level {tile.Level} does not follow from the leaves.");
                    }
                }
            }
        }

        CheckRoots(roots, frontier);
        foreach (var root in roots)
        {
            Fault($"The root of {root.Day:yyyy-MM-dd} is of {root.Size} leaves, more than there are.");
        }
    }

    private void CheckRoots(Queue<SealedRoot> roots, TreeFrontier frontier)
    {
        while (roots.TryPeek(out var root) && root.Size <= frontier.Size)
        {
            roots.Dequeue();
            if (root.Size == frontier.Size && root.Root == frontier.Root())
            {
                _roots++;
            }
            else
            {
                Fault($"The root of {root.Day:yyyy-MM-dd} does not follow from the leaves.");
            }
        }
    }

    private async Task ProveLeavesAsync(long size, DateTimeOffset last, CancellationToken cancellationToken)
    {
        var names = await elements.ReadSealedElementsAsync(cancellationToken).ConfigureAwait(false);
        var (found, end) = (0L, last + SealInterval.Length);
        for (var step = 0; step < StepsMax && found < size; step++, end -= Step)
        {
            foreach (var name in names)
            {
                var leaves = (await seals.ReadSealsAsync(name, end - Step, end, cancellationToken).ConfigureAwait(false)).Where(l => l.Index < size).ToList();
                found += leaves.Count;
                if (leaves.Count > 0)
                {
                    await ProveAsync(name, leaves, cancellationToken).ConfigureAwait(false);
                }
            }
        }

        if (found != size)
        {
            Fault($"Of {size} leaves only {found} belong to an element and a quarter-hour.");
        }
    }

    // Leaves come in order of quarter-hour; of one quarter-hour the seal and then its amendments.
    private async Task ProveAsync(string pseId, List<StoredSeal> leaves, CancellationToken cancellationToken)
    {
        var polls = new Dictionary<long, SealedPoll>();
        var next = 0;
        await foreach (var reading in history.ReadAsync(pseId, leaves[0].Start, leaves[^1].Start + SealInterval.Length, cancellationToken).ConfigureAwait(false))
        {
            next = ProveUntil(reading.At, leaves, next, polls);
            Remember(reading, polls);
        }

        ProveUntil(DateTimeOffset.MaxValue, leaves, next, polls);
    }

    private int ProveUntil(DateTimeOffset time, List<StoredSeal> leaves, int next, Dictionary<long, SealedPoll> polls)
    {
        var isPast = false;
        for (; next < leaves.Count && time - SealInterval.Length >= leaves[next].Start; next++)
        {
            Prove(leaves[next], polls);
            isPast = true;
        }

        if (isPast)
        {
            polls.Clear();
        }

        return next;
    }

    private static void Remember(SwitchReading reading, Dictionary<long, SealedPoll> polls)
    {
        var poll = SealedPoll.Of(reading);
        polls[poll.AtMicroseconds] = poll;
    }

    private void Prove(StoredSeal leaf, Dictionary<long, SealedPoll> polls)
    {
        if (!leaf.PollTimes.All(polls.ContainsKey))
        {
            _withoutReadings++;
        }
        else if (new SealLeaf(leaf.Kind, leaf.PseId, SealInterval.MicrosecondsOf(leaf.Start), [.. leaf.PollTimes.Select(at => polls[at])]).Hash() == leaf.Hash)
        {
            _recomputed++;
        }
        else
        {
            Fault($"'{leaf.PseId}': the readings of the quarter-hour from {leaf.Start:yyyy-MM-ddTHH:mm}Z are not those that were sealed (leaf {leaf.Index}).");
        }
    }

    private void Fault(FormattableString fault)
    {
        _faultCount++;
        if (_faults.Count < FaultsMax)
        {
            _faults.Add(FormattableString.Invariant(fault));
        }
    }
}
