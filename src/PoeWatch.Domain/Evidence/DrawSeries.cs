using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Evidence;

/// <summary>One step [Start, End) of a series. Draws and ceilings are kept apart: a ceiling enters no minimum, mean, maximum or energy.</summary>
/// <param name="Min">Smallest draw that held in the step, at the PSE; null where no draw was known.</param>
/// <param name="Mean">Mean over the time that draws cover, weighted by time.</param>
/// <param name="Max">Largest draw that held in the step.</param>
/// <param name="Coverage">Share of the step that draws cover, 0..1.</param>
/// <param name="Provenance">The weakest that entered the draws; where there are none that of the ceilings; unknown in a gap.</param>
/// <param name="EnergyWattHours">Energy over the time that draws cover, and over no other; 0 where <paramref name="Coverage"/> is 0.</param>
/// <param name="Ceiling">Largest ceiling that held in the step; null where none did. People then see "at most".</param>
/// <param name="CeilingCoverage">Share of the step in which only a ceiling was known, 0..1.</param>
public sealed record DrawStep(
    DateTimeOffset Start,
    DateTimeOffset End,
    Power? Min,
    Power? Mean,
    Power? Max,
    double Coverage,
    Provenance Provenance,
    double EnergyWattHours,
    Power? Ceiling,
    double CeilingCoverage)
{
    /// <summary>True where nothing at all is known of the step.</summary>
    public bool IsGap => Coverage == 0 && CeilingCoverage == 0;
}

/// <summary>Fixed-step series of draw for charts, energy and exports. Pure and thread safe.</summary>
public static class DrawSeries
{
    /// <summary>Most steps that one series has: a year of quarter-hours fits twice.</summary>
    public const int StepsMax = 100_000;

    /// <summary>Steps of equal length from <paramref name="start"/>; the last one may be shorter.</summary>
    /// <param name="spans">In order of time and without overlap, as <see cref="DrawSpans"/> makes them.</param>
    /// <param name="start">UTC, first moment of the series.</param>
    /// <param name="end">UTC, first moment after it.</param>
    public static ImmutableArray<DrawStep> Of(IReadOnlyList<DrawSpan> spans, DateTimeOffset start, DateTimeOffset end, TimeSpan step)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(step, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(end, start);
        var count = Math.Ceiling((end - start) / step);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, StepsMax, nameof(step));

        var steps = ImmutableArray.CreateBuilder<DrawStep>((int)count);
        var next = 0;
        for (var from = start; from < end; from += step)
        {
            var to = end - from > step ? from + step : end;
            while (next < spans.Count && spans[next].End <= from)
            {
                next++;
            }

            var tally = new StepTally(from, to);
            for (var i = next; i < spans.Count && spans[i].Start < to; i++)
            {
                tally.Add(spans[i]);
            }

            steps.Add(tally.Result());
        }

        return steps.MoveToImmutable();
    }

    /// <summary>Energy of all steps, over covered time only.</summary>
    public static double EnergyWattHours(IEnumerable<DrawStep> steps) => steps.Sum(s => s.EnergyWattHours);

    private sealed class StepTally(DateTimeOffset from, DateTimeOffset to)
    {
        // Ticks, not seconds: a step that is covered whole has a coverage of exactly 1.
        private readonly long _ticks = (to - from).Ticks;
        private long _drawTicks;
        private long _ceilingTicks;
        private double _joules;
        private Power? _min;
        private Power? _max;
        private Power? _ceiling;
        private Provenance _draws = Provenance.Off;
        private Provenance _ceilings = Provenance.Off;

        public void Add(DrawSpan span)
        {
            var start = span.Start > from ? span.Start : from;
            var end = span.End < to ? span.End : to;
            var ticks = (end - start).Ticks;
            if (ticks <= 0 || span.Power.Watts is not { } power)
            {
                return;
            }

            if (span.Power.Provenance.IsDraw())
            {
                _drawTicks += ticks;
                _joules += power.Watts * TimeSpan.FromTicks(ticks).TotalSeconds;
                _min = _min is { } min ? Power.Min(min, power) : power;
                _max = _max is { } max ? Power.Max(max, power) : power;
                _draws = ProvenanceRules.Sum(_draws, span.Power.Provenance);
            }
            else
            {
                _ceilingTicks += ticks;
                _ceiling = _ceiling is { } ceiling ? Power.Max(ceiling, power) : power;
                _ceilings = ProvenanceRules.Sum(_ceilings, span.Power.Provenance);
            }
        }

        public DrawStep Result() => new(
            from,
            to,
            _min,
            _drawTicks > 0 ? Power.FromWatts(_joules / TimeSpan.FromTicks(_drawTicks).TotalSeconds) : null,
            _max,
            (double)_drawTicks / _ticks,
            _drawTicks > 0 ? _draws : _ceilingTicks > 0 ? _ceilings : Provenance.Unknown,
            _joules / 3600.0,
            _ceiling,
            (double)_ceilingTicks / _ticks);
    }
}
