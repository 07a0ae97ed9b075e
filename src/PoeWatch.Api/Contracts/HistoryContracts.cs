using PoeWatch.Api.History;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>One step [start, end) of a series. Only what was known enters a number; what was not lowers the coverage.</summary>
/// <param name="MeanW">Mean draw at the PSE over the covered time; null where no draw was known.</param>
/// <param name="Percentile95W">Draw that was not exceeded in 95 % of the covered time; null also where the step is put together from shorter rollups.</param>
/// <param name="CeilingW">Largest ceiling where only a ceiling was known; null where none was.</param>
/// <param name="CoveragePercent">How much of the step draws cover; of a sum: the draws of all its ports.</param>
/// <param name="CeilingCoveragePercent">How much of the step only a ceiling covers.</param>
/// <param name="EnergyWh">Over the covered time and no other; null where nothing is covered.</param>
/// <param name="EstimateWh">What the energy of the time not covered may have been; an estimate, not part of <paramref name="EnergyWh"/>; null where none is made.</param>
/// <param name="PartsEnergyWh">Of a sum: energy of all its ports, each over its own known time, so at least so much.</param>
/// <param name="PartsCoveragePercent">Of a sum: how much of the time of all its ports is known.</param>
public sealed record SeriesPointContract(
    DateTimeOffset Start,
    DateTimeOffset End,
    double? MinW,
    double? MeanW,
    double? MaxW,
    double? Percentile95W,
    double? CeilingW,
    double CoveragePercent,
    double CeilingCoveragePercent,
    double? EnergyWh,
    double? EstimateWh,
    double? PartsEnergyWh,
    double PartsCoveragePercent,
    string Provenance)
{
    internal static SeriesPointContract From(EstimatedRollup step) => new(
        step.Rollup.Start,
        step.Rollup.End,
        step.Rollup.Min.RoundedW(),
        step.Rollup.Mean.RoundedW(),
        step.Rollup.Max.RoundedW(),
        step.Rollup.Percentile95.RoundedW(),
        step.Rollup.Ceiling.RoundedW(),
        (step.Rollup.Coverage * 100).Rounded(),
        (step.Rollup.CeilingCoverage * 100).Rounded(),
        step.Rollup.Coverage > 0 ? step.Rollup.EnergyWattHours.Rounded() : null,
        step.EstimateWattHours?.Rounded(),
        step.Rollup.PartsCoverage > 0 ? step.Rollup.PartsEnergyWattHours.Rounded() : null,
        (step.Rollup.PartsCoverage * 100).Rounded(),
        step.Rollup.Provenance.Name());
}

/// <summary>A stretch of time of which nothing is known. Never to be drawn or summed as zero.</summary>
public sealed record GapContract(DateTimeOffset Start, DateTimeOffset End, double DurationSeconds, string Reason)
{
    internal static GapContract From(Gap gap) => new(gap.Start, gap.End, (gap.End - gap.Start).TotalSeconds.Rounded(), gap.Reason);
}

/// <summary>Draw history of a port, a run, a pole, a switch or the site in equal steps. Holds kept readings only.</summary>
/// <param name="Subject">The port, run, pole, switch or site.</param>
/// <param name="Resolution">What the steps are made of: readings, quarter-hour, hour or day. From rollups the first step begins on one of them.</param>
/// <param name="DesignHash">The design in force now; sums of the past follow the design of their time.</param>
/// <param name="PortRefs">The ports whose draws are summed by the design in force now; empty for the site.</param>
/// <param name="UnmeteredRunIds">Runs that nobody measures: with one of them the sum of a pole is unknown throughout, that of the site is of the others.</param>
/// <param name="EnergyWh">Over the covered time; null where nothing is covered.</param>
/// <param name="EstimateWh">Sum of the estimates of the steps; null where there is none.</param>
/// <param name="PartsEnergyWh">Of a sum: energy of all its ports, each over its own known time.</param>
public sealed record SeriesContract(
    string Subject,
    DateTimeOffset From,
    DateTimeOffset To,
    double StepSeconds,
    string Resolution,
    string DesignHash,
    IReadOnlyList<string> PortRefs,
    IReadOnlyList<string> UnmeteredRunIds,
    double? EnergyWh,
    double? EstimateWh,
    double? PartsEnergyWh,
    double CoveragePercent,
    double PartsCoveragePercent,
    IReadOnlyList<SeriesPointContract> Points,
    IReadOnlyList<GapContract> Gaps)
{
    internal static SeriesContract Of(
        SiteView view, HistorySubject subject, HistoryRange range, RollupStep level, IReadOnlyList<EstimatedRollup> steps, IEnumerable<Gap> gaps)
    {
        var whole = DrawRollup.Merge([.. steps.Select(s => s.Rollup)], range.From, range.To);
        return new SeriesContract(
            subject.Name,
            range.From,
            range.To,
            range.Step.TotalSeconds,
            level == RollupStep.Unknown ? "readings" : level.Name(),
            view.Design.Hash,
            [.. subject.Ports.Select(p => p.ToString())],
            subject.UnmeteredRunIds,
            whole.Coverage > 0 ? whole.EnergyWattHours.Rounded() : null,
            steps.Any(s => s.EstimateWattHours is not null) ? steps.Sum(s => s.EstimateWattHours ?? 0).Rounded() : null,
            whole.PartsCoverage > 0 ? whole.PartsEnergyWattHours.Rounded() : null,
            (100 * whole.Coverage).Rounded(),
            (100 * whole.PartsCoverage).Rounded(),
            [.. steps.Select(SeriesPointContract.From)],
            [.. gaps.OrderBy(g => g.Start).ThenBy(g => g.End).Distinct().Select(GapContract.From)]);
    }
}
