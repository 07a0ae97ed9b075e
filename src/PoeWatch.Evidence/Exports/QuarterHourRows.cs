using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Evidence.Exports;

/// <summary>Writes the quarter-hours and the gaps of the ports of one element, a day at a time. Not thread safe.</summary>
/// <param name="now">What lies later is no gap: it has not been.</param>
internal sealed class QuarterHourRows(
    IHistoryStore history, DesignTimeline designs, EvidenceSubject subject, IReadOnlyList<IEvidenceTable> quarterHours, IEvidenceTable gaps, ExportCounts counts,
    DateTimeOffset now)
{
    private static readonly TimeSpan Piece = TimeSpan.FromDays(1);

    public async Task WriteAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        var period = designs.PollPeriodOf(pseId, from);
        var trackers = new SortedDictionary<PsePortRef, GapTracker>();
        foreach (var port in subject.ExpectedPorts(pseId))
        {
            trackers[port] = new GapTracker(from, period);
        }

        for (var start = from; start < to; start += Piece)
        {
            var end = start + Piece < to ? start + Piece : to;
            var samples = await SamplesAsync(pseId, from, start, end, designs.PollPeriodOf(pseId, start), trackers, cancellationToken).ConfigureAwait(false);
            foreach (var (port, ofPort) in samples)
            {
                var cutter = new RollupCutter(RollupSteps.Every(SealInterval.Length, start, end));
                foreach (var span in DrawSpans.From(ofPort, designs.PollPeriodOf(pseId, start)))
                {
                    cutter.Add(span.Start, span.End, span.Power);
                }

                await WriteAsync(port, cutter.Finish(), cancellationToken).ConfigureAwait(false);
            }
        }

        foreach (var (port, tracker) in trackers)
        {
            await WriteAsync(port, tracker.End(to < now ? to : now, isNow: to >= now), cancellationToken).ConfigureAwait(false);
        }
    }

    /// <summary>Samples of a day with what still holds from before and what ends the last one; gaps are written on the way.</summary>
    private async Task<SortedDictionary<PsePortRef, List<DrawSample>>> SamplesAsync(
        string pseId, DateTimeOffset first, DateTimeOffset start, DateTimeOffset end, TimeSpan period, SortedDictionary<PsePortRef, GapTracker> trackers,
        CancellationToken cancellationToken)
    {
        var samples = new SortedDictionary<PsePortRef, List<DrawSample>>();
        foreach (var port in trackers.Keys)
        {
            samples[port] = [];
        }

        var margin = period * DrawSpans.GapPeriods;
        await foreach (var reading in history.ReadAsync(pseId, start - margin, end + margin, cancellationToken).ConfigureAwait(false))
        {
            foreach (var port in reading.Ports.Select(p => p.Port).Where(p => subject.Has(p, reading.At)))
            {
                if (trackers.TryAdd(port, new GapTracker(first, period)))
                {
                    samples[port] = [];
                }
            }

            foreach (var (port, ofPort) in samples)
            {
                var sample = DrawSample.OfPort(reading, port);
                ofPort.Add(sample);
                if (reading.At < end && (reading.At >= start || start == first))
                {
                    var reason = reading.Outcome is PollOutcome.Answered or PollOutcome.Partial ? "the agent left the port out" : reading.Outcome.Name();
                    await WriteAsync(port, trackers[port].Add(sample, reason), cancellationToken).ConfigureAwait(false);
                }
            }
        }

        return samples;
    }

    private async Task WriteAsync(PsePortRef port, IEnumerable<DrawRollup> steps, CancellationToken cancellationToken)
    {
        foreach (var step in steps)
        {
            var cableRun = designs.CableRunOf(port, step.Start) ?? designs.CableRunOf(port, step.End.AddTicks(-1));
            object?[] row =
            [
                SealInterval.MicrosecondsOf(step.Start), SealInterval.MicrosecondsOf(step.End), port.PseId, (long)port.Group, (long)port.Port, port.ToString(), cableRun?.Id,
                cableRun is null ? null : string.Join(' ', cableRun.PoleIds), step.Min?.Milliwatts, step.Mean?.Milliwatts, step.Max?.Milliwatts,
                step.Percentile95?.Milliwatts, step.Coverage > 0 ? step.EnergyWattHours : null, 100 * step.Coverage, step.Provenance.Name(), DrawQuality.Of(step.Provenance), step.Ceiling?.Milliwatts,
                100 * step.CeilingCoverage,
            ];
            foreach (var table in quarterHours)
            {
                await table.AddAsync(row, cancellationToken).ConfigureAwait(false);
            }

            counts.QuarterHours++;
        }
    }

    private async Task WriteAsync(PsePortRef port, Gap? found, CancellationToken cancellationToken)
    {
        if (found is { } gap)
        {
            var cableRun = designs.CableRunOf(port, gap.Start);
            await gaps.AddAsync(
                [
                    SealInterval.MicrosecondsOf(gap.Start), SealInterval.MicrosecondsOf(gap.End), port.ToString(), cableRun?.Id,
                    cableRun is null ? null : string.Join(' ', cableRun.PoleIds), gap.Reason,
                ],
                cancellationToken).ConfigureAwait(false);
            counts.Gaps++;
        }
    }
}
