using System.Collections.Immutable;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Evidence.Exports;

namespace PoeWatch.Evidence.Checks;

/// <summary>Checks the rows of one element in one quarter-hour against their leaves, and the leaves against the tree. Not thread safe.</summary>
internal sealed class LeafCheck(TreeHead head, Findings findings)
{
    private readonly HashSet<long> _indices = [];
    private long _deleted;
    private long _unsealed;
    private long _unsealedFirst = long.MaxValue;
    private long _unsealedLast = long.MinValue;

    public void Check((string PseId, long Start) key, List<RawLine> lines, List<LeafDocument> leaves)
    {
        var polls = lines.GroupBy(l => l.Row.AtMicroseconds).ToDictionary(g => g.Key, g => g.ToList());
        var covered = new HashSet<long>();
        foreach (var leaf in leaves)
        {
            Check(leaf, key, polls, covered);
        }

        foreach (var (at, ofPoll) in polls)
        {
            foreach (var line in ofPoll.Where(l => l.IsSealed != covered.Contains(at)))
            {
                findings.Fault(line.IsSealed ? $"{line.Place} claims to be sealed, but no leaf covers it." : $"{line.Place} is sealed, but is_sealed was changed.");
            }

            if (!covered.Contains(at))
            {
                _unsealed++;
                (_unsealedFirst, _unsealedLast) = (Math.Min(_unsealedFirst, at), Math.Max(_unsealedLast, at));
            }
        }
    }

    /// <summary>Says what could not be proven.</summary>
    public void Report()
    {
        if (_unsealed > 0)
        {
            findings.Note($"{_unsealed} polls from {EvidenceTime.Write(_unsealedFirst)} to {EvidenceTime.Write(_unsealedLast)} were not sealed yet when the export was made: only the signature of the manifest vouches for them.");
        }

        if (_deleted > 0)
        {
            findings.Note($"{_deleted} sealed polls are no longer in the history and not in the export: their leaves are proven, what they said cannot be shown.");
        }
    }

    private void Check(LeafDocument leaf, (string PseId, long Start) key, Dictionary<long, List<RawLine>> polls, HashSet<long> covered)
    {
        var place = $"The leaf of {leaf.PseId} from {leaf.Start} (number {leaf.Index}, {leaf.Kind})";
        var kind = leaf.Kind switch { "seal" => SealKind.Seal, "amendment" => SealKind.Amendment, _ => SealKind.Unknown };
        if (kind == SealKind.Unknown || !Digest.TryParse(leaf.Hash, out var hash) || RootsCheck.Hashes(leaf.Proof) is not { } proof)
        {
            findings.Fault($"{place} was changed: its kind, hash or proof cannot be read.");
            return;
        }

        if (!_indices.Add(leaf.Index) || HashTree.RootOfInclusion(leaf.Index, head.Size, hash, proof) != head.Root)
        {
            findings.Fault($"{place} is not in the tree: the leaf, its number or its proof was changed, or the leaf was added.");
        }

        var known = ImmutableArray.CreateBuilder<SealedPoll>();
        foreach (var poll in leaf.Polls)
        {
            if (!EvidenceTime.TryRead(poll.At, out var at) || SealInterval.StartOf(at) != key.Start)
            {
                findings.Fault($"{place} was changed: the time '{poll.At}' of a poll does not belong to it.");
                return;
            }

            covered.Add(at);
            if (!poll.IsDeleted)
            {
                known.Add(new SealedPoll(at, poll.Rows, Digest.TryParse(poll.Root, out var root) ? root : default));
                Poll(poll, polls.GetValueOrDefault(at, []), leaf.PseId);
            }
        }

        Whole(leaf, place, new SealLeaf(kind, leaf.PseId, key.Start, known.ToImmutable()), hash);
    }

    private void Whole(LeafDocument leaf, string place, SealLeaf rebuilt, Digest hash)
    {
        var deleted = leaf.Polls.Length - rebuilt.Polls.Length;
        if (deleted == 0)
        {
            if (rebuilt.Hash() != hash)
            {
                findings.Fault($"{place} does not fit its polls: the rows of that quarter-hour are not those that were sealed.");
            }
        }
        else if (rebuilt.Polls.IsEmpty)
        {
            _deleted += deleted;
        }
        else
        {
            findings.Fault($"{place} covers {leaf.Polls.Length} polls, of which {deleted} are gone while the others are there: they were removed from the history ({string.Join(", ", leaf.Polls.Where(p => p.IsDeleted).Take(5).Select(p => p.At))}).");
        }
    }

    private void Poll(PollDocument poll, List<RawLine> lines, string pseId)
    {
        var place = $"The poll of {pseId} at {poll.At}";
        if (lines.Count == 0)
        {
            findings.Fault($"{place} is missing in raw.csv: its leaf covers it.");
            return;
        }

        var shown = new Dictionary<int, Digest>();
        foreach (var line in lines)
        {
            if (!shown.TryAdd(line.Number, line.Hash) || line.Number >= poll.Rows)
            {
                findings.Fault($"{line.Place} was added or its row_no changed: {place.ToLowerInvariant()} has {poll.Rows} rows.");
                return;
            }
        }

        if (poll.Hidden.IsEmpty && shown.Count < poll.Rows)
        {
            var missing = Enumerable.Range(0, poll.Rows).Where(n => !shown.ContainsKey(n)).Take(5);
            findings.Fault($"{place} is not whole in raw.csv: rows {string.Join(", ", missing)} are missing ({shown.Count} of {poll.Rows} are there).");
        }
        else if (RootsCheck.Hashes(poll.Hidden) is not { } hidden || PrunedTree.Root(poll.Rows, shown, hidden) is not { } root || root.ToString() != poll.Root)
        {
            findings.Fault($"{place} does not fit its leaf: rows were changed, removed or exchanged in records {lines[0].Record} to {lines[^1].Record} of raw.csv.");
        }
    }
}
