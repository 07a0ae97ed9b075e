using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Placement;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>A PSE group held against its budget. Capacity, allocated, drawn and requested are four numbers that are never mixed.</summary>
/// <param name="BudgetW">Its capacity: the lower of the designed and the reported budget.</param>
/// <param name="HeadroomW">Capacity less guard band minus draw; null where the draw is unknown.</param>
/// <param name="HeadroomAtLeast">True where the draw is only known by a ceiling.</param>
/// <param name="Account">What it sets aside and what its supplies leave; null at a pass-through switch.</param>
public sealed record GroupContract(
    int GroupNumber, DrawContract Draw, double BudgetW, double DesignDemandW, double? HeadroomW, bool HeadroomAtLeast, string Grade, GroupAccountContract? Account)
{
    /// <summary>Of its designed ports together, without any limit; null before the first assessment.</summary>
    public WorstDemandsContract? WorstDemands { get; init; }

    internal static GroupContract From(DesignModel design, GroupAssessment group) => new(
        group.Group,
        DrawContract.From(group.Draw),
        group.Budget.RoundedW(),
        group.DesignDemand.RoundedW(),
        group.DrawHeadroom.RoundedW(),
        !group.Draw.Provenance.IsDraw() && group.DrawHeadroom is not null,
        Names.Of(group.Grade),
        group.Account is { } account ? GroupAccountContract.From(design, group, account) : null);
}

/// <summary>What a PSE group sets aside, and the limits that its ports share.</summary>
/// <param name="Policy">How the PSE sets power aside: by-class, by-draw or by-limit.</param>
/// <param name="GuardBandW">Fixed reserve inside the capacity.</param>
/// <param name="AllocatedW">What it has set aside for the ports that it feeds now, worked out by its policy; null where unknown.</param>
/// <param name="AllocatedProvenance">How well that is known.</param>
/// <param name="AllocationHeadroomW">Capacity less guard band less allocated; null where unknown.</param>
/// <param name="RequestedW">What all PDs designed behind it ask for by their class, at the PSE.</param>
/// <param name="BindingLimit">The limit that one more watt would break first, by live watts; null where the draw is unknown.</param>
/// <param name="Limits">All of them, the tightest first; empty where the draw is unknown.</param>
/// <param name="WorstLoadCaseId">Of the load cases that can still come the one that asks most of it.</param>
/// <param name="WorstDemandW">What its ports draw then by design, at the PSE.</param>
/// <param name="WorstAllocatedW">What it sets aside then by design.</param>
/// <param name="WorstBindingLimit">The limit that binds then.</param>
/// <param name="Supplies">Null where the design names none.</param>
/// <param name="UpsId">The battery behind its switch; null where none is designed.</param>
public sealed record GroupAccountContract(
    string Policy,
    double GuardBandW,
    double? AllocatedW,
    string AllocatedProvenance,
    double? AllocationHeadroomW,
    double RequestedW,
    LimitContract? BindingLimit,
    IReadOnlyList<LimitContract> Limits,
    string WorstLoadCaseId,
    double WorstDemandW,
    double WorstAllocatedW,
    LimitContract WorstBindingLimit,
    SuppliesContract? Supplies,
    string? UpsId)
{
    internal static GroupAccountContract From(DesignModel design, GroupAssessment group, GroupAccount account) => new(
        Names.Kebab(account.Policy.ToString()),
        account.GuardBand.RoundedW(),
        account.Allocated.Watts.RoundedW(),
        account.Allocated.Provenance.Name(),
        account.AllocationHeadroom.RoundedW(),
        account.ByDesign.Requested.RoundedW(),
        account.Limits is { } limits ? LimitContract.From(limits.Binding) : null,
        [.. (account.Limits?.InOrder ?? []).Select(LimitContract.From)],
        account.ByDesign.WorstLoadCaseId,
        account.ByDesign.Demand.RoundedW(),
        account.ByDesign.Allocated.RoundedW(),
        LimitContract.From(account.ByDesign.Limits.Binding),
        SuppliesContract.From(design.Switches[group.PseId].Groups[group.Group], account.Shedding),
        design.UpsUnits.Values.FirstOrDefault(ups => ups.SwitchIds.Contains(group.PseId))?.Id);
}

/// <summary>The supplies behind a PSE group.</summary>
/// <param name="SupplyCount">How many the design names.</param>
/// <param name="Redundancy">all-needed or n-plus-1.</param>
/// <param name="OwnDrawW">What the switch itself takes of them.</param>
/// <param name="AllW">What all of them leave for the ports.</param>
/// <param name="AfterLossW">What is left for the ports with the largest one lost, at most the budget, guard band taken off.</param>
/// <param name="SurvivesLossNow">True where no port that is fed now would go off then; null where it is not known what is fed.</param>
/// <param name="SurvivesLossByDesign">The same in the worst load case that can still come.</param>
public sealed record SuppliesContract(
    int SupplyCount, string Redundancy, double OwnDrawW, double AllW, double AfterLossW, bool? SurvivesLossNow, bool SurvivesLossByDesign)
{
    internal static SuppliesContract? From(PseGroup group, GroupShedding shedding) => shedding.UsableAfterLoss is not { } left
        ? null
        : new(
            group.Supplies.Length,
            group.Redundancy.Name(),
            group.OwnDraw.RoundedW(),
            SupplyPower.ForPorts(SupplyPower.Together(group.Supplies), group.OwnDraw).RoundedW(),
            left.RoundedW(),
            shedding.Order.Any(port => port.IsFed) ? shedding.AfterLoss!.Dropped.IsEmpty : null,
            shedding.AfterLossByDesign!.Dropped.IsEmpty);
}

/// <summary>One PSE group with whom it would drop, and what more it could feed.</summary>
/// <param name="ExtraOnRunsW">Further load at the PSE on the runs that it feeds already, in the load case that leaves least; negative: so much is too much.</param>
/// <param name="ExtraOnFreePortW">The same on a port that is free, where it sets aside by its policy too.</param>
/// <param name="ShedOrder">Ports that are fed or should be, first dropped first.</param>
/// <param name="IsPriorityKnown">True where the switch told the priority of a port; else the order is the design's.</param>
/// <param name="AfterSupplyLoss">What happens to the ports that are fed now when the largest supply is lost; null where the design names none.</param>
/// <param name="AfterSupplyLossByDesign">The same in the worst load case that can still come.</param>
/// <param name="OnBudget">The same for the budget asked about, guard band taken off; null where none was.</param>
/// <param name="ColdStarts">Everything behind it starts after an outage: in how many stages it can, by the design.</param>
/// <param name="Conflicts">Ports that the design calls more critical than one that keeps power longer, of those whose priority was read.</param>
public sealed record GroupDetailContract(
    string PseId,
    GroupContract Group,
    double? ExtraOnRunsW,
    LimitContract? ExtraOnRunsLimit,
    double? ExtraOnFreePortW,
    LimitContract? ExtraOnFreePortLimit,
    IReadOnlyList<ShedPortContract> ShedOrder,
    bool IsPriorityKnown,
    ShedPlanContract? AfterSupplyLoss,
    ShedPlanContract? AfterSupplyLossByDesign,
    ShedPlanContract? OnBudget,
    IReadOnlyList<ColdStartContract> ColdStarts,
    IReadOnlyList<ShedConflictContract> Conflicts)
{
    internal static GroupDetailContract From(SiteView view, GroupAssessment group, GroupRoom? room, int? budgetW)
    {
        var shedding = group.Account?.Shedding;
        PsePortRef Ref(int port) => new(group.PseId, group.Group, port);
        ShedPlanContract? Plan(Domain.Quantities.Power? usable, ShedPlan? plan) =>
            usable is { } watts && plan is not null ? ShedPlanContract.From(watts, plan, Ref) : null;
        var asked = budgetW is { } budget && group.Account is { } account ? Domain.Quantities.Power.FromWatts(budget) - account.GuardBand : (Domain.Quantities.Power?)null;
        return new GroupDetailContract(
            group.PseId,
            GroupContract.From(view.Design, group) with { WorstDemands = WorstDemandsContract.From(view.Assessment.Demands?.OfGroup(group.PseId, group.Group)) },
            room?.OnRuns.RoundedW(),
            room is null ? null : LimitContract.From(room.OnRunsBinding),
            room?.OnFreePort.RoundedW(),
            room is null ? null : LimitContract.From(room.OnFreePortBinding),
            [.. (shedding?.Order ?? []).Select(port => ShedPortContract.From(port, Ref(port.Port)))],
            shedding?.IsPriorityKnown ?? false,
            Plan(shedding?.UsableAfterLoss, shedding?.AfterLoss),
            Plan(shedding?.UsableAfterLoss, shedding?.AfterLossByDesign),
            Plan(asked, asked is { } usable ? shedding!.On(usable) : null),
            [.. (group.Account?.ByDesign.ColdStarts ?? []).Select(start => ColdStartContract.From(view.Design.Switches[group.PseId].Groups[group.Group], start))],
            [.. (shedding?.Inversions ?? []).Select(c => new ShedConflictContract(Ref(c.DroppedPort).ToString(), Ref(c.KeptPort).ToString()))]);
    }
}

/// <summary>One port in the order in which a group drops its ports.</summary>
/// <param name="Priority">What the PSE goes by: critical, high or low.</param>
/// <param name="IsPriorityRead">True where its agent said so; else it is the design's.</param>
/// <param name="DesignedCriticality">The most critical of the port and all that is designed behind it.</param>
/// <param name="ReserveW">What it counts for in the group's policy, at the PSE.</param>
/// <param name="IsFed">True where it delivers now; else it is designed and counts with its demand.</param>
public sealed record ShedPortContract(
    string PortRef, int PortNumber, string Priority, bool IsPriorityRead, string DesignedCriticality, double ReserveW, bool IsFed)
{
    internal static ShedPortContract From(ShedPort port, PsePortRef reference) => new(
        reference.ToString(), port.Port, Names.Of(port.Priority), port.IsPriorityRead, Names.Of(port.Designed), port.Reserve.RoundedW(), port.IsFed);
}

/// <summary>Whom a PSE group drops when no more than some watts are left.</summary>
/// <param name="UsableW">Watts for all ports together.</param>
/// <param name="DroppedPortRefs">In the order in which they lose power.</param>
/// <param name="ComingBackPortRefs">Of these the ones that still fit afterwards and are fed again.</param>
/// <param name="KeptPortRefs">Those that never lose power.</param>
public sealed record ShedPlanContract(
    double UsableW, IReadOnlyList<string> DroppedPortRefs, IReadOnlyList<string> ComingBackPortRefs, IReadOnlyList<string> KeptPortRefs)
{
    internal static ShedPlanContract From(Domain.Quantities.Power usable, ShedPlan plan, Func<int, PsePortRef> reference)
    {
        IReadOnlyList<string> Refs(IEnumerable<PowerRequest> requests) => [.. requests.Select(r => reference(r.Port).ToString())];
        return new(usable.RoundedW(), Refs(plan.Dropped), Refs(plan.ComingBack), Refs(plan.Kept));
    }
}

/// <summary>A port that loses power before one that the design calls less critical.</summary>
public sealed record ShedConflictContract(string PortRef, string KeptLongerPortRef);

/// <summary>A battery behind switches.</summary>
/// <param name="Load">At its output now, in the words of a draw.</param>
/// <param name="RuntimeSeconds">At that load; null where the load is unknown or nothing is drawn.</param>
/// <param name="RuntimeAtLeast">True where the load is only known by a ceiling.</param>
/// <param name="WorstLoadCaseId">Of the load cases that can still come the one that asks most of it.</param>
/// <param name="WorstLoadW">At its output then, by design.</param>
/// <param name="WorstRuntimeSeconds">At that load; null where nothing is drawn.</param>
/// <param name="WantedRuntimeSeconds">What the design wants; null where it does not say.</param>
/// <param name="IsShortByDesign">True where it lasts less than wanted in that load case.</param>
public sealed record UpsContract(
    string Id,
    string Name,
    IReadOnlyList<string> SwitchIds,
    DrawContract Load,
    double? RuntimeSeconds,
    bool RuntimeAtLeast,
    string WorstLoadCaseId,
    double WorstLoadW,
    double? WorstRuntimeSeconds,
    double? WantedRuntimeSeconds,
    bool IsShortByDesign)
{
    /// <summary>What its own agent says; null where the design names no agent.</summary>
    public UpsTellsContract? Tells { get; init; }

    internal static UpsContract From(DesignModel design, UpsAssessment ups, DateTimeOffset at) => new(
        ups.UpsId,
        design.UpsUnits[ups.UpsId].Name,
        ups.SwitchIds,
        DrawContract.From(ups.Load),
        Seconds(ups.Runtime),
        ups.Runtime is not null && !ups.Load.Provenance.IsDraw(),
        ups.WorstLoadCaseId,
        ups.WorstLoad.RoundedW(),
        Seconds(ups.WorstRuntime),
        Seconds(ups.Wanted),
        ups.IsShortByDesign)
    {
        Tells = design.UpsUnits[ups.UpsId].Agent is null ? null : UpsTellsContract.From(ups.Reading, at),
    };

    private static double? Seconds(TimeSpan? time) => time is { } known ? Math.Floor(known.TotalSeconds) : null;
}
