using System.Collections.Immutable;
using PoeWatch.Api.Contracts;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Rollups;

namespace PoeWatch.Api.History;

/// <summary>Whose history: the place, the ports whose draws are summed, and the runs that nobody measures.</summary>
internal sealed record HistorySubject(string Name, DrawPlace Place, ImmutableArray<PsePortRef> Ports, ImmutableArray<string> UnmeteredRunIds)
{
    public static HistorySubject Of(PsePortRef port) => new(port.ToString(), DrawPlace.OfPort(port), [port], []);

    public static HistorySubject Of(CableRun cableRun) => cableRun.Source.Port is { } port
        ? new HistorySubject(cableRun.Id, DrawPlace.OfPort(port), [port], [])
        : new HistorySubject(cableRun.Id, default, [], [cableRun.Id]);

    public static HistorySubject OfPole(DesignModel design, string poleId)
    {
        var cableRuns = design.CableRunsByPole.GetValueOrDefault(poleId, []);
        return new HistorySubject(
            poleId,
            DrawPlace.OfPole(poleId),
            [.. cableRuns.Select(r => r.Source.Port).OfType<PsePortRef>().Distinct().Order()],
            [.. cableRuns.Where(r => r.IsUnmetered).Select(r => r.Id)]);
    }

    public static HistorySubject OfSwitch(DesignModel design, string pseId) =>
        new(pseId, DrawPlace.OfSwitch(pseId), [.. DesignSums.OfElement(design, pseId).Order()], []);

    /// <summary>A group has no rollups of its own: its ports are summed from the readings.</summary>
    public static HistorySubject OfGroup(DesignModel design, string pseId, int group) =>
        new(AlarmResources.Group(pseId, group), default, [.. PortsOf(design, pseId, group)], []) { SummedPorts = at => PortsOf(at, pseId, group) };

    /// <summary>The site; its ports are too many to name.</summary>
    public static HistorySubject OfSite(DesignModel design) =>
        new(design.Site.Name, DrawPlace.Site, [], [.. design.CableRuns.Values.Where(r => r.IsUnmetered).Select(r => r.Id)]);

    /// <summary>The ports by the design of the time where they are to be summed from the readings; null where <see cref="Place"/> says it all.</summary>
    public Func<DesignModel, IReadOnlyList<PsePortRef>>? SummedPorts { get; private init; }

    /// <summary>True where nobody can say anything: of a site at least the metered part is known.</summary>
    public bool IsUnknown => Place != DrawPlace.Site && (!UnmeteredRunIds.IsEmpty || Ports.IsEmpty);

    private static PsePortRef[] PortsOf(DesignModel design, string pseId, int group) => design.PassThroughSwitches.TryGetValue(pseId, out var passThrough)
        ? [.. Enumerable.Range(1, passThrough.OutputCount).Select(output => new PsePortRef(pseId, 1, output))]
        : [.. DesignSums.OfElement(design, pseId).Where(port => port.Group == group).Order()];
}

/// <summary>
/// Puts the draw of a subject into equal steps: from rollups where steps are whole quarter-hours, hours or days and the period is long or fits them, else
/// from the kept readings. Streams: holds the steps of the answer and no reading.
/// </summary>
internal sealed class SeriesReader(RollupReader rollups)
{
    // Up to here a chart keeps its own first moment; beyond it nobody sees a quarter of an hour.
    private static readonly TimeSpan ReadingsMax = TimeSpan.FromDays(2);

    public async Task<SeriesContract> ReadAsync(SiteView view, HistorySubject subject, HistoryRange range, CancellationToken cancellationToken)
    {
        var zone = SiteClock.ZoneOf(view.Design.Site.TimeZoneId);
        var (level, bounds) = Plan(subject, range, zone);
        var gaps = new List<Gap>();
        IAsyncEnumerable<DrawRollup> intervals = subject.IsUnknown
            ? bounds.Zip(bounds.Skip(1), DrawRollup.Nothing).ToAsyncEnumerable()
            : level == RollupStep.Unknown
                ? (await FromReadingsAsync(view, subject, range, bounds, gaps, cancellationToken)).ToAsyncEnumerable()
                : rollups.FittedAsync(subject.Place, level, bounds, cancellationToken);

        var steps = await EstimatedAsync(intervals, cancellationToken);
        if (subject.IsUnknown)
        {
            var reason = subject.UnmeteredRunIds.IsEmpty ? "no run leads here" : $"unmetered: nobody measures {string.Join(", ", subject.UnmeteredRunIds)}";
            gaps = [new Gap(range.From, range.To, reason)];
        }
        else if (level != RollupStep.Unknown || subject.Place.Subject.Kind == RollupKind.Switch)
        {
            gaps = GapsOf(steps);
        }

        return SeriesContract.Of(view, subject, range with { From = bounds[0], To = bounds[^1] }, level, steps, gaps);
    }

    /// <summary>An element that the design no longer has was polled some time or other: the default of a design.</summary>
    public static TimeSpan PollPeriodOf(DesignModel design, string pseId) =>
        design.Agents.TryGetValue(pseId, out var agent) ? agent.PollPeriod : TimeSpan.FromSeconds(60);

    /// <summary>Why a reading says nothing of a port.</summary>
    public static string ReasonOf(SwitchReading reading) =>
        reading.Outcome is PollOutcome.Answered or PollOutcome.Partial ? "the agent left the port out" : Names.Of(reading.Outcome);

    private static (RollupStep Level, DateTimeOffset[] Bounds) Plan(HistorySubject subject, HistoryRange range, TimeZoneInfo zone)
    {
        var level = range.Step.Ticks % TimeSpan.TicksPerDay == 0 ? RollupStep.Day
            : range.Step.Ticks % TimeSpan.TicksPerHour == 0 ? RollupStep.Hour
            : range.Step.Ticks % RollupSteps.QuarterHour.Ticks == 0 ? RollupStep.QuarterHour
            : RollupStep.Unknown;
        var plain = RollupSteps.Every(range.Step, range.From, range.To);
        if (level == RollupStep.Unknown || subject.SummedPorts is not null)
        {
            return (RollupStep.Unknown, plain);
        }

        // From the first moment of its day, so that steps lie on rollups.
        var day = LocalDay.Holding(range.From, zone);
        var start = level == RollupStep.Day ? day.Start : day.Start + (range.Step * Math.Floor((range.From - day.Start) / range.Step));
        var mustFit = range.To - range.From > ReadingsMax || subject.Place == DrawPlace.Site;
        return start != range.From && !mustFit ? (RollupStep.Unknown, plain)
            : level == RollupStep.Day ? (level, Days(start, range, zone))
            : (level, RollupSteps.Every(range.Step, start, range.To));
    }

    private static DateTimeOffset[] Days(DateTimeOffset start, HistoryRange range, TimeZoneInfo zone)
    {
        var bounds = new List<DateTimeOffset> { start };
        var days = (int)(range.Step.Ticks / TimeSpan.TicksPerDay);
        for (var i = 1; bounds[^1] < range.To; i++)
        {
            start = LocalDay.Holding(start, zone).End;
            if (i % days == 0 || start >= range.To)
            {
                bounds.Add(start < range.To ? start : range.To);
            }
        }

        return [.. bounds];
    }

    private static async Task<List<EstimatedRollup>> EstimatedAsync(IAsyncEnumerable<DrawRollup> intervals, CancellationToken cancellationToken)
    {
        var estimator = new GapEstimator();
        var steps = new List<EstimatedRollup>();
        await foreach (var interval in intervals.WithCancellation(cancellationToken))
        {
            steps.AddRange(estimator.Add(interval));
        }

        steps.AddRange(estimator.Finish());
        return steps;
    }

    private async Task<IReadOnlyList<DrawRollup>> FromReadingsAsync(
        SiteView view, HistorySubject subject, HistoryRange range, DateTimeOffset[] bounds, List<Gap> gaps, CancellationToken cancellationToken)
    {
        var trackers = subject.Ports.ToDictionary(p => p, p => new GapTracker(range.From, PollPeriodOf(view.Design, p.PseId)));
        var window = RollupWindow.OfBounds(bounds);
        var steps = subject.SummedPorts is { } ports
            ? await rollups.LiveAsync(ports, window, See, cancellationToken)
            : await rollups.LiveAsync(subject.Place, window, See, cancellationToken);
        gaps.AddRange(trackers.Values.Select(t => t.End(range.To, range.EndsNow)).OfType<Gap>());
        return steps;

        void See(HeldPoll held)
        {
            foreach (var port in subject.Ports.Where(p => p.PseId == held.Reading.PseId && held.Reading.At < range.To))
            {
                if (trackers[port].Add(DrawSample.OfPort(held.Reading, port), ReasonOf(held.Reading)) is { } gap)
                {
                    gaps.Add(gap);
                }
            }
        }
    }

    // Steps of which nothing is known, those that follow one another as one.
    private static List<Gap> GapsOf(List<EstimatedRollup> steps)
    {
        var gaps = new List<Gap>();
        foreach (var (interval, _) in steps.Where(s => s.Rollup.IsGap))
        {
            if (gaps.Count > 0 && gaps[^1].End == interval.Start)
            {
                gaps[^1] = gaps[^1] with { End = interval.End };
            }
            else
            {
                gaps.Add(new Gap(interval.Start, interval.End, GapTracker.NoReading));
            }
        }

        return gaps;
    }
}
