using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Api.Contracts;

/// <summary>One step [start, end) of a series. Only what was known enters a number; what was not lowers the coverage.</summary>
/// <param name="MeanW">Mean draw at the PSE over the covered time; null where no draw was known.</param>
/// <param name="CeilingW">Largest ceiling where only a ceiling was known; null where none was.</param>
/// <param name="CoveragePercent">How much of the step draws cover.</param>
/// <param name="CeilingCoveragePercent">How much of the step only a ceiling covers.</param>
/// <param name="EnergyWh">Over the covered time and no other; null where nothing is covered.</param>
public sealed record SeriesPointContract(
    DateTimeOffset Start,
    DateTimeOffset End,
    double? MinW,
    double? MeanW,
    double? MaxW,
    double? CeilingW,
    double CoveragePercent,
    double CeilingCoveragePercent,
    double? EnergyWh,
    string Provenance)
{
    internal static SeriesPointContract From(DrawStep step) => new(
        step.Start,
        step.End,
        step.Min.RoundedW(),
        step.Mean.RoundedW(),
        step.Max.RoundedW(),
        step.Ceiling.RoundedW(),
        (step.Coverage * 100).Rounded(),
        (step.CeilingCoverage * 100).Rounded(),
        step.Coverage > 0 ? step.EnergyWattHours.Rounded() : null,
        step.Provenance.Name());
}

/// <summary>A stretch of time of which nothing is known. Never to be drawn or summed as zero.</summary>
public sealed record GapContract(DateTimeOffset Start, DateTimeOffset End, double DurationSeconds, string Reason)
{
    internal static GapContract From(Gap gap) => new(gap.Start, gap.End, (gap.End - gap.Start).TotalSeconds.Rounded(), gap.Reason);
}

/// <summary>Draw history of a port or a pole in equal steps. Holds kept readings only.</summary>
/// <param name="Subject">The port or the pole.</param>
/// <param name="DesignHash">The design by which runs were taken for the pole: the one in force now.</param>
/// <param name="PortRefs">The ports whose draws are summed.</param>
/// <param name="UnmeteredRunIds">Runs that nobody measures: with one of them the sum is unknown throughout.</param>
/// <param name="EnergyWh">Over the covered time; null where nothing is covered.</param>
public sealed record SeriesContract(
    string Subject,
    DateTimeOffset From,
    DateTimeOffset To,
    double StepSeconds,
    string DesignHash,
    IReadOnlyList<string> PortRefs,
    IReadOnlyList<string> UnmeteredRunIds,
    double? EnergyWh,
    double CoveragePercent,
    IReadOnlyList<SeriesPointContract> Points,
    IReadOnlyList<GapContract> Gaps);
