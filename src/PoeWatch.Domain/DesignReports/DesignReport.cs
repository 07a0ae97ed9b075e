using System.Collections.Immutable;

namespace PoeWatch.Domain.DesignReports;

/// <summary>
/// What a design comes to, by the design alone: every run, port group and the site as figures that people and programs read. Plain numbers with their unit
/// in the name, so that it is written as JSON as it stands. Immutable and thread safe.
/// </summary>
/// <param name="Format">Name of this form; a later one that readers of this cannot take has another number.</param>
/// <param name="DesignHash">SHA-256 of the design's text.</param>
/// <param name="MadeAt">When the report was made; upgrades are held against this day.</param>
/// <param name="OnlyCableRunId">Set where the report holds one run and its group only; totals and warnings are of the whole site all the same.</param>
public sealed record DesignReport(
    string Format,
    string SiteName,
    string TimeZoneId,
    string DesignHash,
    DateTimeOffset MadeAt,
    string SoftwareVersion,
    string? OnlyCableRunId,
    SiteTotals Totals,
    ImmutableArray<ReportWarning> Warnings,
    ImmutableArray<ReportSwitch> Switches,
    ImmutableArray<ReportUps> UpsUnits,
    ImmutableArray<ReportPole> Poles,
    ImmutableArray<ReportCableRun> CableRuns,
    ImmutableArray<ReportAssumption> Assumptions,
    ImmutableArray<string> Cautions)
{
    public const string FormatName = "poewatch-design-report/1";
}

/// <summary>The site in a few numbers.</summary>
/// <param name="WorstLoadCaseId">The load case that asks most of all PSEs together, to be expected.</param>
/// <param name="BrokenCount">Runs that break a limit or cannot be fed, by the figures to be expected, in some load case.</param>
/// <param name="NotGuaranteedCount">Runs that do so only by the figures that the standard guarantees.</param>
public sealed record SiteTotals(
    int SwitchCount,
    int PoleCount,
    int CableRunCount,
    int DeviceCount,
    int SegmentCount,
    double CableM,
    string WorstLoadCaseId,
    ImmutableArray<SiteCase> LoadCases,
    int BrokenCount,
    int NotGuaranteedCount);

/// <summary>The site in one load case; all runs, injectors' too, with who pages and what coincides.</summary>
/// <param name="DemandAtPdW">Designed demand of all devices at that moment, at their inputs.</param>
/// <param name="ExpectedDemandAtPseW">At all PSEs, to be expected; a run that cannot be fed counts with its source's limit.</param>
/// <param name="GuaranteedDemandAtPseW">The same by the figures that the standard guarantees.</param>
/// <param name="ExpectedOnTheWayW">What of that no device gets: heat in cables, own draw and conversion of what stands between. Null where a run cannot be fed.</param>
public sealed record SiteCase(
    string LoadCaseId, string Name, string When, double DemandAtPdW, double ExpectedDemandAtPseW, double GuaranteedDemandAtPseW, double? ExpectedOnTheWayW);

/// <summary>Something that people should know of the design.</summary>
/// <param name="Origin">"design-check": found when the design was checked; "report": found by the report.</param>
/// <param name="Elements">What it is about; runs, ports, segments, groups.</param>
public sealed record ReportWarning(string Code, string Origin, ImmutableArray<string> Elements, string Message, string Remedy);

/// <summary>A figure that the report takes for granted, with its source.</summary>
/// <param name="IsFromMemory">True where the source could not be looked up when the figure was written down.</param>
public sealed record ReportAssumption(string Topic, string Text, bool IsFromMemory);
