namespace PoeWatch.Domain.Evidence;

/// <summary>A stretch of time [Start, End) of which nothing is known.</summary>
/// <param name="Reason">What the polls in it said, or that there was none.</param>
public readonly record struct Gap(DateTimeOffset Start, DateTimeOffset End, string Reason);

/// <summary>
/// Finds the gaps of one place while its samples go by, by the rule of <see cref="DrawSpans"/>: what no span covers is a gap. For exports that
/// are streamed and never held whole. Pure but for its own state; not thread safe.
/// </summary>
/// <param name="from">UTC, first moment asked about. Samples of up to <see cref="DrawSpans.GapPeriods"/> poll periods earlier may be given too.</param>
public sealed class GapTracker(DateTimeOffset from, TimeSpan pollPeriod)
{
    /// <summary>Reason where no poll is in the gap.</summary>
    public const string NoReading = "no reading";

    private DateTimeOffset _knownUntil = from;
    private DrawSample? _last;
    private string _reason = NoReading;

    /// <summary>Takes the next sample and gives the gap that it ends, if any. A sample that lies before its predecessor is left out.</summary>
    /// <param name="reason">Why the sample knows nothing; only looked at where it does not.</param>
    public Gap? Add(DrawSample sample, string reason)
    {
        if (_last is { } before && sample.At < before.At)
        {
            return null;
        }

        Hold(sample.At);
        _last = sample;
        if (sample.Power.Watts is null)
        {
            _reason = reason;
            return null;
        }

        Gap? gap = sample.At > _knownUntil ? new Gap(_knownUntil, sample.At, _reason) : null;
        _reason = NoReading;
        Know(sample.At);
        return gap;
    }

    /// <summary>The gap at the end of the period, if any.</summary>
    /// <param name="to">UTC, first moment after the period.</param>
    /// <param name="isNow">True where the period ends now: the next answer may still come, so the last sample holds until it is overdue.</param>
    public Gap? End(DateTimeOffset to, bool isNow = false)
    {
        Hold(isNow ? to : null);
        return to > _knownUntil ? new Gap(_knownUntil, to, _reason) : null;
    }

    /// <summary>Lets the last sample hold as long as it may before the next one.</summary>
    private void Hold(DateTimeOffset? next)
    {
        if (_last is { Power.Watts: not null } held)
        {
            Know(next is { } at && at - held.At <= pollPeriod * DrawSpans.GapPeriods ? at : held.At + pollPeriod);
        }
    }

    private void Know(DateTimeOffset until) => _knownUntil = until > _knownUntil ? until : _knownUntil;
}
