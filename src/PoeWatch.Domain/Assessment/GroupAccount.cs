using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>
/// Where a PSE group of a switch stands: capacity, allocated, drawn and requested are four things and never mixed (capacity and draw stand in the
/// <see cref="GroupAssessment"/> around it). Immutable.
/// </summary>
/// <param name="Policy">How the PSE sets power aside.</param>
/// <param name="GuardBand">Fixed reserve inside the capacity.</param>
/// <param name="Allocated">What it has set aside for the ports that it feeds now, worked out by its policy; unknown where nothing is known of its ports.</param>
/// <param name="AllocationHeadroom">Capacity less guard band less allocated; null where unknown.</param>
/// <param name="Limits">By live watts; null where the draw is unknown.</param>
/// <param name="ByDesign">The same by the design alone.</param>
/// <param name="Shedding">Who loses power first.</param>
public sealed record GroupAccount(
    AllocationPolicy Policy,
    Power GuardBand,
    KnownPower Allocated,
    Power? AllocationHeadroom,
    GroupMargins? Limits,
    GroupByDesign ByDesign,
    GroupShedding Shedding);

/// <summary>A PSE group by its design alone, in the worst load case that can still come. Immutable.</summary>
/// <param name="WorstLoadCaseId">Of the load cases that can still come the one that asks most of the whole group.</param>
/// <param name="Demand">What its ports draw then, at the PSE.</param>
/// <param name="Allocated">What it sets aside then in its policy.</param>
/// <param name="Requested">What all PDs designed behind it ask for by their class, at the PSE; the same in every load case.</param>
/// <param name="Limits">With their margins in that load case.</param>
/// <param name="ColdStarts">Of the load cases that are cold starts; of the standard one where the design has none.</param>
public sealed record GroupByDesign(
    string WorstLoadCaseId, Power Demand, Power Allocated, Power Requested, GroupMargins Limits, ImmutableArray<GroupColdStart> ColdStarts);

/// <summary>One port in the order in which a group drops its ports.</summary>
/// <param name="Priority">What the PSE goes by: configured where its agent says so, else as designed.</param>
/// <param name="IsPriorityRead">True where the agent said it.</param>
/// <param name="Designed">The most critical of the port and all that is designed behind it.</param>
/// <param name="Reserve">What it counts for in the group's policy, at the PSE.</param>
/// <param name="IsFed">True where it delivers now; else it is only designed and counts with its demand in the worst load case.</param>
public sealed record ShedPort(int Port, Criticality Priority, bool IsPriorityRead, Criticality Designed, Power Reserve, bool IsFed)
{
    internal PowerRequest Request => new(Port, Priority, Reserve);
}

/// <summary>Whom a PSE group drops. Immutable.</summary>
/// <param name="Order">Ports that are fed now or should be, first dropped first.</param>
/// <param name="UsableAfterLoss">Watts for the ports once the largest supply is lost; null where the design names no supplies.</param>
/// <param name="AfterLoss">What happens then to the ports that are fed now; null where the design names no supplies.</param>
/// <param name="AfterLossByDesign">What would happen in the worst load case that can still come; null where the design names no supplies.</param>
/// <param name="Inversions">Ports that the design calls more critical than one that the PSE keeps longer, of those whose priority was read.</param>
/// <param name="Conflicts">Of the losses above the ports that end without power although a less critical one keeps it.</param>
public sealed record GroupShedding(
    ImmutableArray<ShedPort> Order,
    Power? UsableAfterLoss,
    ShedPlan? AfterLoss,
    ShedPlan? AfterLossByDesign,
    ImmutableArray<ShedConflict> Inversions,
    ImmutableArray<ShedConflict> Conflicts)
{
    /// <summary>True where at least one priority was read: only then anything is known of the order that the PSE goes by.</summary>
    public bool IsPriorityKnown => Order.Any(port => port.IsPriorityRead);

    /// <summary>What happens to the ports that are fed now when no more than this is left for all of them, guard band taken off.</summary>
    public ShedPlan On(Power usable) => LoadShedding.Of(usable, Order.Where(port => port.IsFed).Select(port => port.Request));
}

/// <summary>A UPS at one moment. Immutable.</summary>
/// <param name="Load">At its output now; unknown where the draw of a group behind it is.</param>
/// <param name="Runtime">At that load; "at least" where the load is a ceiling; null where unknown or nothing is drawn.</param>
/// <param name="WorstLoadCaseId">Of the load cases that can still come the one that asks most of it.</param>
/// <param name="WorstLoad">At its output then, by design.</param>
/// <param name="WorstRuntime">At that load; null where nothing is drawn.</param>
/// <param name="Wanted">What the design wants; null where it does not say.</param>
public sealed record UpsAssessment(
    string UpsId,
    ImmutableArray<string> SwitchIds,
    KnownPower Load,
    TimeSpan? Runtime,
    string WorstLoadCaseId,
    Power WorstLoad,
    TimeSpan? WorstRuntime,
    TimeSpan? Wanted)
{
    /// <summary>What its own agent said last; null where the design names none or it was not asked yet.</summary>
    public UpsReading? Reading { get; init; }

    /// <summary>True where it lasts less than wanted in the worst load case that can still come.</summary>
    public bool IsShortByDesign => WorstRuntime < Wanted;
}
