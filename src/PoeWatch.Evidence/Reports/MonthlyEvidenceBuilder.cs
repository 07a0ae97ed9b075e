using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DesignReports;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Evidence.Reports;
using PoeWatch.Evidence.Exports;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Service;

namespace PoeWatch.Evidence.Reports;

/// <summary>Gathers what a month comes to, an element and a day at a time. Thread safe.</summary>
public sealed class MonthlyEvidenceBuilder(EvidenceSources sources, ServiceIdentity identity, TimeProvider time) : IEvidenceReports
{
    public async Task<MonthlyEvidence?> BuildAsync(DateOnly month, CancellationToken cancellationToken)
    {
        var design = sources.Site.Current.Design;
        var zone = TimeZoneInfo.FindSystemTimeZoneById(design.Site.TimeZoneId);
        var first = new DateOnly(month.Year, month.Month, 1);
        var start = LocalDay.Of(first, zone).Start;
        var whole = LocalDay.Of(first.AddMonths(1), zone).Start;
        var now = time.GetUtcNow();
        if (start >= now)
        {
            return null;
        }

        var end = whole < now ? whole : now;
        var designs = await DesignTimeline.ReadAsync(sources.Designs, sources.DesignSource, start, end, cancellationToken).ConfigureAwait(false);
        var tallies = new SortedDictionary<string, RunTally>(StringComparer.Ordinal);
        var months = await ElementMonths.ReadAsync(sources, designs, tallies, cancellationToken).ConfigureAwait(false);
        var switches = new List<SwitchMonth>();
        foreach (var pseId in await ElementsAsync(designs, start, cancellationToken).ConfigureAwait(false))
        {
            switches.Add(await months.AddAsync(pseId, start, end, cancellationToken).ConfigureAwait(false));
        }

        var changes = await sources.Alarms.ReadAlarmChangesAsync(start, end, null, cancellationToken).ConfigureAwait(false);
        var roots = await sources.Seals.ReadRootsAsync(cancellationToken).ConfigureAwait(false);
        return new MonthlyEvidence(
            design.Site.Name, design.Site.TimeZoneId, first, start, end, whole <= now, now, identity.Version, RunsOf(designs, design, tallies, end - start, now, cancellationToken),
            [.. switches], [.. changes.GroupBy(c => c.Kind, StringComparer.Ordinal).OrderBy(g => g.Key, StringComparer.Ordinal).Select(g => (g.Key, g.Count()))],
            [.. changes.Take(MonthlyEvidence.AlarmsMax)],
            [.. designs.Spans.Select(s => new DesignMonth(s.Version.Hash, s.Version.InForceFrom, s.Until, s.Version.AppliedBy))],
            [.. roots.Where(r => r.Day >= DateOnly.FromDateTime(start.UtcDateTime) && r.Day <= DateOnly.FromDateTime(end.UtcDateTime))]);
    }

    private async Task<IEnumerable<string>> ElementsAsync(DesignTimeline designs, DateTimeOffset start, CancellationToken cancellationToken)
    {
        var latest = await sources.History.ReadLatestAsync(cancellationToken).ConfigureAwait(false);
        return designs.Models.SelectMany(m => m.Agents.Keys).Concat(latest.Where(r => r.At >= start).Select(r => r.PseId))
            .Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal).ToList();
    }

    private ImmutableArray<RunMonth> RunsOf(
        DesignTimeline designs, DesignModel design, SortedDictionary<string, RunTally> tallies, TimeSpan length, DateTimeOffset now, CancellationToken cancellationToken)
    {
        // Peaks are held against the newest design that has the run.
        var runs = new SortedDictionary<string, RunMonth>(StringComparer.Ordinal);
        foreach (var model in designs.Models.DefaultIfEmpty(design))
        {
            foreach (var run in DesignReportBuilder.Build(model, now, identity.Version, null, cancellationToken).CableRuns)
            {
                var tally = tallies.GetValueOrDefault(run.CableRunId) ?? new RunTally();
                runs[run.CableRunId] = new RunMonth(
                    run.CableRunId, string.Join(", ", run.PoleNames), tally.CoveredSeconds > 0 ? tally.WattHours : null, 100 * tally.CoveredSeconds / length.TotalSeconds,
                    tally.PeakW, tally.PeakAt, run.LoadCases.Max(c => c.Expected.DemandAtPseW), run.Source.LimitW, run.Source.IsUnmetered);
            }
        }

        return [.. runs.Values];
    }
}
