using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Adds the runs of a site up.</summary>
internal static class SiteSheet
{
    internal static SiteTotals TotalsOf(DesignModel design, ImmutableArray<ReportCableRun> runs, ImmutableArray<LoadCase> cases)
    {
        ImmutableArray<SiteCase> sums = [.. cases.Select((loadCase, at) => new SiteCase(
            loadCase.Id,
            loadCase.Name,
            ReportNames.When(loadCase),
            runs.Sum(run => run.LoadCases[at].DemandAtPdW),
            runs.Sum(run => AtPse(run, run.LoadCases[at].Expected)),
            runs.Sum(run => AtPse(run, run.LoadCases[at].Guaranteed)),
            runs.Sum(run => run.LoadCases[at].Expected.CableLossW ?? 0.0)))];
        var broken = runs.Count(IsBroken);
        return new SiteTotals(
            design.Switches.Count,
            design.Poles.Count,
            runs.Length,
            design.Devices.Count,
            runs.Sum(run => run.Places.Length),
            runs.Sum(run => run.Places.Sum(place => place.Segment.LengthM)),
            sums.MaxBy(sum => sum.ExpectedDemandAtPseW)!.LoadCaseId,
            sums,
            broken,
            runs.Count(run => !IsBroken(run) && IsNotGuaranteed(run)));
    }

    /// <summary>More than its limit no source gives; a run that cannot be fed may still take that.</summary>
    internal static double AtPse(ReportCableRun run, CaseFigures figures) => Math.Min(figures.DemandAtPseW ?? run.Source.LimitW, run.Source.LimitW);

    internal static bool IsBroken(ReportCableRun run) => run.LoadCases.Any(c => c.Expected.DemandAtPseW is null || c.Expected.BrokenCount > 0);

    internal static bool IsNotGuaranteed(ReportCableRun run) => run.LoadCases.Any(c => c.Guaranteed.DemandAtPseW is null || c.Guaranteed.BrokenCount > 0);
}
