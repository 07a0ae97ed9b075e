using System.Collections.Immutable;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Makes the report of a design: solves every run in every load case and both operating modes. Pure and thread safe.</summary>
public static class DesignReportBuilder
{
    /// <param name="madeAt">Stands in the report; upgrades are held against its day.</param>
    /// <param name="softwareVersion">Stands in the report.</param>
    /// <param name="onlyCableRunId">The one run to report on, with its group; null for all.</param>
    /// <exception cref="ArgumentException">The design has no such run.</exception>
    /// <exception cref="OperationCanceledException">Asked for before the last run was solved.</exception>
    public static DesignReport Build(
        DesignModel design, DateTimeOffset madeAt, string softwareVersion, string? onlyCableRunId = null, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(design);
        if (onlyCableRunId is not null && !design.CableRuns.ContainsKey(onlyCableRunId))
        {
            throw new ArgumentException($"The design has no run '{onlyCableRunId}'.", nameof(onlyCableRunId));
        }

        var cases = DesignDemands.CasesOf(design);
        var runs = ImmutableArray.CreateBuilder<ReportCableRun>(design.CableRuns.Count);
        foreach (var run in design.CableRuns.Values)
        {
            cancellation.ThrowIfCancellationRequested();
            runs.Add(CableRunSheet.Of(design, run, cases));
        }

        var all = runs.MoveToImmutable();
        var demands = DemandPlan.Of(design);
        var switches = GroupSheet.SwitchesOf(design, all, demands);
        return new DesignReport(
            DesignReport.FormatName,
            design.Site.Name,
            design.Site.TimeZoneId,
            design.Hash,
            madeAt,
            softwareVersion,
            onlyCableRunId,
            SiteSheet.TotalsOf(design, all, demands),
            ReportWarnings.Of(design, all, switches, madeAt),
            onlyCableRunId is null ? switches : GroupSheet.Feeding(switches, onlyCableRunId),
            UpsSheet.Of(design, switches, cases),
            SiteSheet.PolesOf(design, demands, onlyCableRunId),
            onlyCableRunId is null ? all : [.. all.Where(run => run.CableRunId == onlyCableRunId)],
            ReportAssumptions.Of(design, cases),
            ReportCautions.All);
    }
}
