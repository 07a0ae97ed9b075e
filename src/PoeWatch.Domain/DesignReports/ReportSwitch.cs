using System.Collections.Immutable;

namespace PoeWatch.Domain.DesignReports;

/// <summary>A switch with its PSE groups.</summary>
/// <param name="LoadCases">Designed demand of all its ports, in the order of the design.</param>
/// <param name="WorstLoadCaseId">The load case that asks most.</param>
public sealed record ReportSwitch(
    string SwitchId, string Name, string? PoleName, ImmutableArray<PlaceCase> LoadCases, string WorstLoadCaseId, ImmutableArray<ReportGroup> Groups);

/// <summary>A switch or a pole in one load case.</summary>
/// <param name="DemandW">Of a switch at its ports, of a pole at the inputs of what stands on it.</param>
/// <param name="WhoPages">Device or paging group that is worst for this very place; null where nobody pages, all do, or it changes nothing.</param>
public sealed record PlaceCase(string LoadCaseId, string Name, double DemandW, string? WhoPages);

/// <summary>What stands on a pole.</summary>
/// <param name="CableRunIds">Runs that serve it.</param>
public sealed record ReportPole(string PoleId, string Name, ImmutableArray<string> CableRunIds, ImmutableArray<PlaceCase> LoadCases, string WorstLoadCaseId);

/// <summary>Everything behind a group starts after an outage, as the switch starts its ports by the design.</summary>
/// <param name="IsDesigned">False where the design names no such load case and the standard one is shown; nothing is held against that.</param>
/// <param name="BootPeakW">The most that devices draw at one moment.</param>
/// <param name="InrushW">The most that flows at one moment while inputs fill, at most 75 ms.</param>
/// <param name="SuppliesW">What inrush is held against.</param>
/// <param name="StageCount">Steps in which all that can start starts within budget and supplies; 1 where all may start at once.</param>
/// <param name="CannotStartPorts">Ports that do not fit at all.</param>
/// <param name="Sentence">The stages in words.</param>
public sealed record ReportColdStart(
    string LoadCaseId,
    string Name,
    bool IsDesigned,
    double BootPeakW,
    double InrushW,
    double SuppliesW,
    int StageCount,
    ImmutableArray<int> CannotStartPorts,
    string Sentence);

/// <summary>Ports that share one budget.</summary>
/// <param name="UsableW">Budget less guard band.</param>
/// <param name="Allocation">Policy in force: by-class, by-draw or by-limit.</param>
/// <param name="LoadCases">Designed demand of all ports, in the order of the design.</param>
/// <param name="WorstLoadCaseId">The load case that asks most.</param>
/// <param name="Reserves">What each policy would set aside.</param>
/// <param name="Redundancy">What the design wants of the supplies: all-needed or n-plus-1.</param>
/// <param name="OwnDrawW">What the box itself takes out of its supplies.</param>
/// <param name="SuppliesW">What all supplies together leave for the ports; null where the design names none.</param>
/// <param name="SuppliesAfterLossW">With the largest one lost; null where the design names none.</param>
/// <param name="Limits">The tightest first.</param>
/// <param name="ColdStarts">Of the load cases that are cold starts.</param>
/// <param name="PriorityConflicts">Ports that the design calls more critical than another which keeps power longer by the priorities of the design.</param>
/// <param name="ShedPorts">What goes dark with the largest supply lost, the first first; empty where nothing does or fewer than two supplies are named.</param>
/// <param name="Ports">Those that the design names or uses.</param>
public sealed record ReportGroup(
    string GroupId,
    int GroupNumber,
    double BudgetW,
    double GuardBandW,
    double UsableW,
    string Allocation,
    ImmutableArray<GroupCase> LoadCases,
    string WorstLoadCaseId,
    ImmutableArray<GroupReserve> Reserves,
    ImmutableArray<ReportSupply> Supplies,
    string Redundancy,
    double OwnDrawW,
    double? SuppliesW,
    double? SuppliesAfterLossW,
    ImmutableArray<ReportLimit> Limits,
    ImmutableArray<string> ShedPorts,
    ImmutableArray<ReportColdStart> ColdStarts,
    ImmutableArray<PriorityConflict> PriorityConflicts,
    ImmutableArray<ReportPort> Ports);

/// <summary>A port that loses power before one that the design calls less critical.</summary>
public sealed record PriorityConflict(string Port, string KeptLongerPort);

/// <summary>A group in one load case, to be expected.</summary>
/// <param name="DemandAtPseW">With who pages and what coincides. A port that cannot be fed counts with its limit; none counts with more.</param>
/// <param name="MarginW">Usable watts less demand.</param>
public sealed record GroupCase(string LoadCaseId, string Name, double DemandAtPseW, double MarginW);

/// <summary>What a policy sets aside for the ports of a group that feed something; by-draw in the group's worst load case.</summary>
/// <param name="IsInForce">True for the policy of the design.</param>
/// <param name="MarginW">Usable watts less the reserve.</param>
public sealed record GroupReserve(string Allocation, bool IsInForce, double ReserveAtPseW, double MarginW);

/// <summary>A power supply.</summary>
public sealed record ReportSupply(string SupplyId, double RatingW);

/// <summary>A PSE port.</summary>
/// <param name="Priority">What the switch is to go by when power gets short.</param>
/// <param name="Criticality">The most critical of the port and every device behind it.</param>
/// <param name="Feeds">Element behind it; null where nothing is designed.</param>
/// <param name="WorstDemandAtPseW">In the load case that asks most of it, to be expected; null where it feeds nothing or cannot feed it.</param>
/// <param name="UpgradeLimitW">Watts of the better port that is still to come; null where none is.</param>
public sealed record ReportPort(
    string Port,
    double LimitW,
    string PoeType,
    string GrantableClass,
    string Priority,
    string Criticality,
    string? Feeds,
    double? WorstDemandAtPseW,
    double? ReserveAtPseW,
    double? UpgradeLimitW,
    DateOnly? UpgradeDue);

/// <summary>A battery behind switches, in the load case that asks most of it.</summary>
/// <param name="UsableWh">Of its battery when new.</param>
/// <param name="LoadW">At its output.</param>
/// <param name="RuntimeSeconds">How long it lasts; null where nothing is drawn.</param>
/// <param name="WantedSeconds">How long it should; null where the design does not say.</param>
public sealed record ReportUps(
    string UpsId,
    string Name,
    ImmutableArray<string> SwitchIds,
    double UsableWh,
    string WorstLoadCaseId,
    string WorstLoadCaseName,
    double LoadW,
    double? RuntimeSeconds,
    double? WantedSeconds);
