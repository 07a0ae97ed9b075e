using System.Collections.Immutable;
using PoeWatch.Api.Contracts;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.History;

/// <summary>Whose history: the ports whose draws are summed, and the runs that nobody measures.</summary>
internal sealed record HistorySubject(string Name, ImmutableArray<PsePortRef> Ports, ImmutableArray<string> UnmeteredRunIds)
{
    public static HistorySubject Of(PsePortRef port) => new(port.ToString(), [port], []);

    public static HistorySubject Of(DesignModel design, string poleId)
    {
        var cableRuns = design.CableRunsByPole.GetValueOrDefault(poleId, []);
        return new HistorySubject(
            poleId,
            [.. cableRuns.Select(r => r.Source.Port).OfType<PsePortRef>().Distinct().Order()],
            [.. cableRuns.Where(r => r.IsUnmetered).Select(r => r.Id)]);
    }
}

/// <summary>Reads the kept readings of a subject and puts them into equal steps.</summary>
internal sealed class SeriesReader(IHistoryStore store)
{
    public async Task<SeriesContract> ReadAsync(
        SiteView view, HistorySubject subject, HistoryRange range, CancellationToken cancellationToken)
    {
        var parts = new List<ImmutableArray<DrawSpan>>();
        var gaps = new List<Gap>();
        foreach (var byPse in subject.Ports.GroupBy(port => port.PseId))
        {
            var period = PollPeriodOf(view.Design, byPse.Key);
            var samples = await SamplesAsync(byPse.Key, [.. byPse], period, range, cancellationToken);
            foreach (var port in byPse)
            {
                parts.Add(DrawSpans.From(samples[port].Select(s => s.Sample), period));
                gaps.AddRange(GapsOf(samples[port], period, range));
            }
        }

        var isUnmetered = !subject.UnmeteredRunIds.IsEmpty;
        if (isUnmetered || parts.Count == 0)
        {
            var reason = isUnmetered ? $"unmetered: nobody measures {string.Join(", ", subject.UnmeteredRunIds)}" : "no run leads here";
            gaps = [new Gap(range.From, range.To, reason)];
        }

        var steps = DrawSeries.Of(isUnmetered ? [] : DrawSpans.Sum(parts), range.From, range.To, range.Step);
        var covered = steps.Sum(s => s.Coverage * (s.End - s.Start).TotalSeconds);
        return new SeriesContract(
            subject.Name,
            range.From,
            range.To,
            range.Step.TotalSeconds,
            view.Design.Hash,
            [.. subject.Ports.Select(p => p.ToString())],
            subject.UnmeteredRunIds,
            covered > 0 ? DrawSeries.EnergyWattHours(steps).Rounded() : null,
            (100 * covered / (range.To - range.From).TotalSeconds).Rounded(),
            [.. steps.Select(SeriesPointContract.From)],
            [.. gaps.OrderBy(g => g.Start).ThenBy(g => g.End).Distinct().Select(GapContract.From)]);
    }

    /// <summary>An element that the design no longer has was polled some time or other: the default of a design.</summary>
    public static TimeSpan PollPeriodOf(DesignModel design, string pseId) =>
        design.Agents.TryGetValue(pseId, out var agent) ? agent.PollPeriod : TimeSpan.FromSeconds(60);

    /// <summary>Why a reading says nothing of a port.</summary>
    public static string ReasonOf(SwitchReading reading) =>
        reading.Outcome is PollOutcome.Answered or PollOutcome.Partial ? "the agent left the port out" : Names.Of(reading.Outcome);

    private async Task<Dictionary<PsePortRef, List<(DrawSample Sample, string Reason)>>> SamplesAsync(
        string pseId, ImmutableArray<PsePortRef> ports, TimeSpan period, HistoryRange range, CancellationToken cancellationToken)
    {
        var samples = ports.ToDictionary(port => port, _ => new List<(DrawSample, string)>());

        // A little earlier than asked: what was read just before still holds at the start.
        await foreach (var reading in store.ReadAsync(pseId, range.From - (period * DrawSpans.GapPeriods), range.To, cancellationToken))
        {
            foreach (var port in ports)
            {
                samples[port].Add((DrawSample.OfPort(reading, port), ReasonOf(reading)));
            }
        }

        return samples;
    }

    private static IEnumerable<Gap> GapsOf(List<(DrawSample Sample, string Reason)> samples, TimeSpan period, HistoryRange range)
    {
        var tracker = new GapTracker(range.From, period);
        foreach (var (sample, reason) in samples)
        {
            if (tracker.Add(sample, reason) is { } gap)
            {
                yield return gap;
            }
        }

        if (tracker.End(range.To, range.EndsNow) is { } last)
        {
            yield return last;
        }
    }
}
