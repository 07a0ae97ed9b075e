using PoeWatch.Domain.Assessment;

namespace PoeWatch.Domain.Rollups;

/// <summary>
/// Cuts what held, stretch by stretch, into intervals between bounds. Takes stretches of time in order and without overlap, so it holds one interval at a
/// time whatever the period. Not thread safe.
/// </summary>
/// <param name="bounds">First moment of each interval and the end of the last; rising.</param>
public sealed class RollupCutter(IReadOnlyList<DateTimeOffset> bounds)
{
    private readonly DrawTally _tally = new();
    private readonly List<DrawRollup> _done = new(bounds.Count - 1);
    private DateTimeOffset _upTo = DateTimeOffset.MinValue;

    private int Index => _done.Count;

    /// <summary>Takes a stretch [start, end); what lies outside the bounds is passed over.</summary>
    public void Add(DateTimeOffset start, DateTimeOffset end, KnownPower power)
    {
        if (start < _upTo)
        {
            throw new ArgumentException($"A stretch begins at {start:O}, before the end of the one before it, {_upTo:O}.", nameof(start));
        }

        _upTo = end;
        while (Index < bounds.Count - 1 && start < end)
        {
            var (from, to) = (bounds[Index], bounds[Index + 1]);
            var cut = end < to ? end : to;
            _tally.Add(cut - (start > from ? start : from), power);
            if (end < to)
            {
                return;
            }

            _done.Add(_tally.Close(from, to));
            start = start > to ? start : to;
        }
    }

    /// <summary>All intervals, those without anything included.</summary>
    public IReadOnlyList<DrawRollup> Finish()
    {
        while (Index < bounds.Count - 1)
        {
            _done.Add(_tally.Close(bounds[Index], bounds[Index + 1]));
        }

        return _done;
    }
}
