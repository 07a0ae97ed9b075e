using System.Collections.Immutable;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Balance;

/// <summary>
/// What is remembered of all segments that are metered at both ends. Owned by the site monitor's loop; only <see cref="Recall"/> is for others. Bounded by the number of those segments.
/// </summary>
public sealed class BalanceBook
{
    private readonly Dictionary<string, DateTimeOffset> _lastAt = new(StringComparer.Ordinal);
    private ImmutableArray<SegmentMemory> _segments = [];
    private DesignModel? _design;
    private IReadOnlyList<SegmentMemory>? _recalled;

    /// <summary>Hands over what the history tells of the time before this life of the service; it is taken at the next note. Thread safe.</summary>
    public void Recall(IReadOnlyList<SegmentMemory> older) => Volatile.Write(ref _recalled, older);

    /// <summary>Takes what is new in a snapshot; each reading counts once.</summary>
    /// <returns>What is known of each segment now.</returns>
    public ImmutableArray<SegmentBalance> Note(DesignModel design, NetworkSnapshot snapshot)
    {
        Follow(design);
        if (!_segments.IsEmpty)
        {
            NoteReadings(snapshot);
            Adopt();
        }

        return [.. _segments.Select(s => s.At(snapshot.At))];
    }

    private void Follow(DesignModel design)
    {
        if (ReferenceEquals(design, _design))
        {
            return;
        }

        // A segment that still lies between the same ends keeps what is remembered of it, under the figures of the new design.
        var known = _segments;
        _segments = [.. MeteredSegment.Of(design).Select(now => Kept(known, now))];
        _design = design;
    }

    private static SegmentMemory Kept(ImmutableArray<SegmentMemory> known, MeteredSegment now)
    {
        if (known.FirstOrDefault(old => IsSame(old.Segment, now)) is not { } kept)
        {
            return new SegmentMemory(now);
        }

        kept.Follow(now);
        return kept;
    }

    private void NoteReadings(NetworkSnapshot snapshot)
    {
        var ends = _segments.SelectMany(s => new[] { s.Segment.FedBy.PseId, s.Segment.FarId }).ToHashSet(StringComparer.Ordinal);
        var fresh = snapshot.Latest.Values.Where(r => ends.Contains(r.PseId) && (!_lastAt.TryGetValue(r.PseId, out var last) || r.At > last)).OrderBy(r => r.At).ToList();
        foreach (SwitchReading reading in fresh)
        {
            _lastAt[reading.PseId] = reading.At;
            foreach (SegmentMemory segment in _segments)
            {
                Note(segment, reading);
            }
        }
    }

    private static void Note(SegmentMemory memory, SwitchReading reading)
    {
        MeteredSegment segment = memory.Segment;
        BalanceSample? sample = null;
        if (reading.PseId == segment.FedBy.PseId)
        {
            EndWatts near = EndWatts.Of(reading, [segment.FedBy]);
            memory.NoteSteps(near.Step, null);
            sample = memory.Ends.NoteNear(near.At, near.Watts);
        }
        else if (reading.PseId == segment.FarId)
        {
            EndWatts far = EndWatts.Of(reading, segment.FarOutputs);
            memory.NoteSteps(null, far.Step);
            sample = memory.Ends.NoteFar(far.At, far.Watts);
        }

        if (sample is { } both)
        {
            memory.Note(both);
        }
    }

    private void Adopt()
    {
        foreach (SegmentMemory older in Interlocked.Exchange(ref _recalled, null) ?? [])
        {
            _segments.FirstOrDefault(s => IsSame(s.Segment, older.Segment))?.Adopt(older);
        }
    }

    private static bool IsSame(MeteredSegment a, MeteredSegment b) => a.Segment.Id == b.Segment.Id && a.FedBy == b.FedBy && a.FarId == b.FarId;
}
