namespace PoeWatch.Domain.Rollups;

/// <summary>An interval with what the energy of its unknown time may have been. The estimate is never part of the rollup's own energy.</summary>
/// <param name="EstimateWattHours">Energy over the time that no draw covers; null where all of it is covered, and where no estimate is made.</param>
public readonly record struct EstimatedRollup(DrawRollup Rollup, double? EstimateWattHours);

/// <summary>
/// Estimates energy over gaps of up to <see cref="GapMax"/> while intervals of one place go by in order of time. An interval that is covered by half or
/// more has its own mean for the rest; intervals that are not covered lie on the straight line between the means of their neighbours. A longer gap has no estimate.
/// Holds back no more intervals than fit into such a gap. Not thread safe.
/// </summary>
public sealed class GapEstimator
{
    // Below this share its own mean says too little of the rest.
    private const double OwnMeanCoverageMin = 0.5;

    private readonly Queue<DrawRollup> _waiting = new();
    private DrawRollup? _before;

    /// <summary>Longest gap that an estimate is made for. Common practice for interval data, no source.</summary>
    public static TimeSpan GapMax { get; } = TimeSpan.FromHours(2);

    /// <summary>Takes the next interval and gives those that are settled by it, in order.</summary>
    public IEnumerable<EstimatedRollup> Add(DrawRollup next)
    {
        if (next.Mean is null)
        {
            _waiting.Enqueue(next);
            return next.End - _waiting.Peek().Start > GapMax ? GiveUp() : [];
        }

        var settled = _waiting.Select(gap => new EstimatedRollup(gap, OnTheLine(gap, next))).Append(new EstimatedRollup(next, OwnMean(next))).ToArray();
        _waiting.Clear();
        _before = next;
        return settled;
    }

    /// <summary>Those that are left at the end of the period: nothing is known after them.</summary>
    public IEnumerable<EstimatedRollup> Finish() => GiveUp();

    // What comes later in the same gap has nothing before it to start a line from.
    private EstimatedRollup[] GiveUp()
    {
        var given = _waiting.Select(gap => new EstimatedRollup(gap, null)).ToArray();
        _waiting.Clear();
        _before = null;
        return given;
    }

    private double? OnTheLine(DrawRollup gap, DrawRollup after)
    {
        if (_before?.Mean is not { } first || after.Mean is not { } last || _before.End != _waiting.Peek().Start)
        {
            return null;
        }

        var share = (gap.Start + (gap.Length / 2) - _before.End) / (after.Start - _before.End);
        return (first.Watts + ((last.Watts - first.Watts) * share)) * gap.Length.TotalHours;
    }

    private static double? OwnMean(DrawRollup interval)
    {
        var missing = interval.Length - interval.Known.OfDraws;
        return missing > TimeSpan.Zero && missing <= GapMax && interval.Coverage >= OwnMeanCoverageMin ? interval.Mean!.Value.Watts * missing.TotalHours : null;
    }
}
