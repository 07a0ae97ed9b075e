using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;

namespace PoeWatch.Domain.Evidence;

/// <summary>Turns samples into stretches of time and adds the stretches of several places. What no stretch covers is a gap. Pure and thread safe.</summary>
public static class DrawSpans
{
    /// <summary>Answers further apart than this many poll periods have a gap between them.</summary>
    public const int GapPeriods = 3;

    /// <summary>
    /// A sample holds until the next one, at most <see cref="GapPeriods"/> periods away. Before a longer gap, and after the last sample, it holds for
    /// one period. A sample that knows nothing ends the one before it and holds nowhere.
    /// </summary>
    /// <param name="samples">In order of time; a sample that lies before its predecessor (a clock stepped back) is left out.</param>
    public static ImmutableArray<DrawSpan> From(IEnumerable<DrawSample> samples, TimeSpan pollPeriod)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(pollPeriod, TimeSpan.Zero);
        var spans = ImmutableArray.CreateBuilder<DrawSpan>();
        DrawSample? before = null;
        foreach (var sample in samples)
        {
            if (before is { } held)
            {
                if (sample.At < held.At)
                {
                    continue;
                }

                Add(held, EndOf(held.At, sample.At, pollPeriod));
            }

            before = sample;
        }

        if (before is { } last)
        {
            Add(last, EndOf(last.At, null, pollPeriod));
        }

        return spans.ToImmutable();

        void Add(DrawSample sample, DateTimeOffset end)
        {
            if (sample.Power.Provenance != Provenance.Unknown && end > sample.At)
            {
                spans.Add(new DrawSpan(sample.At, end, sample.Power));
            }
        }
    }

    /// <summary>Sum of several places: only where all of them are known, and no better known than the weakest of them.</summary>
    /// <param name="parts">Each in order of time and without overlap.</param>
    public static ImmutableArray<DrawSpan> Sum(IReadOnlyList<ImmutableArray<DrawSpan>> parts) => StepSum.Of(parts);

    /// <summary>Until when a sample is taken to hold.</summary>
    /// <param name="next">The sample after it; null where there is none.</param>
    public static DateTimeOffset EndOf(DateTimeOffset at, DateTimeOffset? next, TimeSpan pollPeriod) =>
        next is { } until && until - at <= pollPeriod * GapPeriods ? until : at + pollPeriod;
}
