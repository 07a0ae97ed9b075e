using System.Collections.Immutable;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.DesignReports;

/// <summary>What the site and its poles come to.</summary>
internal static class SiteSheet
{
    internal static SiteTotals TotalsOf(DesignModel design, ImmutableArray<ReportCableRun> runs, DemandPlan demands)
    {
        var guaranteed = DemandPlan.Of(design, OperatingMode.Guaranteed).Site;
        ImmutableArray<SiteCase> sums = [.. demands.Site.ByCase.Select((site, at) => new SiteCase(
            site.Case.Id,
            site.Case.Name,
            ReportNames.When(site.Case),
            demands.SiteAtDevices.ByCase[at].Watts.Watts,
            site.Watts.Watts,
            guaranteed.ByCase[at].Watts.Watts,
            runs.Any(run => run.LoadCases[at].Expected.DemandAtPseW is null) ? null : (site.Watts - demands.SiteAtDevices.ByCase[at].Watts).Watts))];
        var broken = runs.Count(IsBroken);
        return new SiteTotals(
            design.Switches.Count,
            design.Poles.Count,
            runs.Length,
            design.Devices.Count,
            runs.Sum(run => run.Places.Length),
            runs.Sum(run => run.Places.Sum(place => place.Segment.LengthM)),
            demands.Site.Worst.Case.Id,
            sums,
            broken,
            runs.Count(run => !IsBroken(run) && IsNotGuaranteed(run)));
    }

    /// <summary>Every pole that carries something, in the order of the ids; with a run given those that it serves.</summary>
    internal static ImmutableArray<ReportPole> PolesOf(DesignModel design, DemandPlan demands, string? onlyCableRunId) =>
    [
        .. from pole in design.Poles.Values
           let runs = design.CableRunsByPole.TryGetValue(pole.Id, out var serving) ? serving : []
           where runs.Any(run => onlyCableRunId is null || run.Id == onlyCableRunId)
           orderby pole.Id
           let demand = demands.Poles[pole.Id]
           select new ReportPole(pole.Id, pole.Name, [.. runs.Select(run => run.Id)], CasesOf(demand), demand.Worst.Case.Id),
    ];

    internal static ImmutableArray<PlaceCase> CasesOf(PlaceDemand place) =>
        [.. place.ByCase.Select(c => new PlaceCase(c.Case.Id, c.Case.Name, c.Watts.Watts, c.Paging.Name.Length > 0 ? c.Paging.Name : null))];

    internal static bool IsBroken(ReportCableRun run) => run.LoadCases.Any(c => c.Expected.DemandAtPseW is null || c.Expected.BrokenCount > 0);

    internal static bool IsNotGuaranteed(ReportCableRun run) => run.LoadCases.Any(c => c.Guaranteed.DemandAtPseW is null || c.Guaranteed.BrokenCount > 0);
}
