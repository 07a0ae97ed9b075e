using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Evidence.Seals;

namespace PoeWatch.Domain.Evidence.Reports;

/// <summary>What a month of a site comes to, for paper. Immutable.</summary>
/// <param name="Month">First day of the month, in the zone of the site.</param>
/// <param name="Start">UTC.</param>
/// <param name="End">UTC, not included; now where the month is not over.</param>
/// <param name="IsOver">False where the month is still running.</param>
/// <param name="CableRuns">Runs of the designs in force in the month, by id.</param>
/// <param name="Switches">Everything with an agent that was polled, by id.</param>
/// <param name="AlarmCounts">How many changes of each kind there were.</param>
/// <param name="Alarms">Changes in order of time, at most <see cref="AlarmsMax"/>.</param>
/// <param name="Designs">Designs in force, the oldest first.</param>
/// <param name="Roots">Roots of the days of UTC in the month.</param>
public sealed record MonthlyEvidence(
    string SiteName, string TimeZoneId, DateOnly Month, DateTimeOffset Start, DateTimeOffset End, bool IsOver, DateTimeOffset MadeAt, string SoftwareVersion,
    ImmutableArray<RunMonth> CableRuns, ImmutableArray<SwitchMonth> Switches, ImmutableArray<(string Kind, int Count)> AlarmCounts, ImmutableArray<AlarmChange> Alarms,
    ImmutableArray<DesignMonth> Designs, ImmutableArray<SealedRoot> Roots)
{
    /// <summary>Most changes of alarms that a report lists; it says where there were more.</summary>
    public const int AlarmsMax = 400;

    public int AlarmChanges => AlarmCounts.Sum(c => c.Count);
}

/// <summary>A run in the month. Immutable.</summary>
/// <param name="Poles">Names of its poles.</param>
/// <param name="EnergyWattHours">Over the time that draws cover and over no other; null where they cover none.</param>
/// <param name="CoveragePercent">Share of the month that draws cover.</param>
/// <param name="PeakW">Largest draw at the PSE; null where none was known.</param>
/// <param name="PeakAt">Begin of the quarter-hour of the peak, UTC.</param>
/// <param name="DesignDemandW">What the design expects of it at the PSE in its worst load case; null where it cannot be fed.</param>
/// <param name="LimitW">The most that its source gives.</param>
/// <param name="IsUnmetered">True where nobody measures it.</param>
public sealed record RunMonth(
    string CableRunId, string Poles, double? EnergyWattHours, double CoveragePercent, double? PeakW, DateTimeOffset? PeakAt, double? DesignDemandW, double LimitW, bool IsUnmetered);

/// <summary>An element with an agent in the month. Immutable.</summary>
/// <param name="Polls">Finished polls.</param>
/// <param name="Answered">Those that were answered in full or in part.</param>
/// <param name="SealedQuarterHours">Quarter-hours with a leaf in the tree.</param>
/// <param name="Amendments">Leaves for what came late.</param>
/// <param name="QuarterHours">Quarter-hours of the month so far.</param>
public sealed record SwitchMonth(string PseId, long Polls, long Answered, int SealedQuarterHours, int Amendments, int QuarterHours);

/// <summary>A design in force in the month. Immutable.</summary>
/// <param name="Until">UTC; null where it is in force now.</param>
public sealed record DesignMonth(string Hash, DateTimeOffset From, DateTimeOffset? Until, string AppliedBy);
