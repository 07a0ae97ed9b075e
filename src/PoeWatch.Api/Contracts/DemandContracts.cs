using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;

namespace PoeWatch.Api.Contracts;

/// <summary>A load case of the design.</summary>
/// <param name="Conditions">Such as dark, cold, paging-all; empty for a mild, quiet day.</param>
/// <param name="AmbientCelsius">Air temperature that it assumes; null where it does not say.</param>
/// <param name="CoincidenceByCondition">Share of the devices, 0 to 1, that a condition strikes at one moment in a group, a switch or the site, where it is not 1.</param>
public sealed record DesignLoadCaseContract(
    string Id, string Name, IReadOnlyList<string> Conditions, double? AmbientCelsius, IReadOnlyDictionary<string, double> CoincidenceByCondition)
{
    internal static DesignLoadCaseContract From(LoadCase loadCase) => new(
        loadCase.Id,
        loadCase.Name,
        [.. loadCase.Conditions.Select(c => Names.Kebab(c.ToString()))],
        loadCase.Ambient?.Celsius,
        loadCase.Coincidence.ToDictionary(c => Names.Kebab(c.Key.ToString()), c => c.Value.Fraction, StringComparer.Ordinal));
}

/// <summary>What a place needs in one load case.</summary>
/// <param name="WhoPages">Device or paging group that is worst for this very place; null where nobody pages, all do, or it changes nothing.</param>
public sealed record CaseDemandContract(string LoadCaseId, double DesignDemandW, string? WhoPages, string Provenance)
{
    internal static CaseDemandContract From(CaseWatts watts) => new(
        watts.Case.Id, watts.Watts.RoundedW(), watts.Paging.Name.Length > 0 ? watts.Paging.Name : null, DeviceContract.DesignName);
}

/// <summary>What a place needs by the design: of a device and a pole at the inputs of what stands there, else at the source.</summary>
/// <param name="Worst">The load case that asks most.</param>
public sealed record PlaceDemandContract(string Id, CaseDemandContract Worst, IReadOnlyList<CaseDemandContract> ByLoadCase)
{
    internal static PlaceDemandContract From(PlaceDemand place) =>
        new(place.Id, CaseDemandContract.From(place.Worst), [.. place.ByCase.Select(CaseDemandContract.From)]);
}

/// <summary>Everything behind a PSE group starts after an outage, as the switch starts its ports by the design.</summary>
/// <param name="BootPeakW">The most that devices draw at one moment.</param>
/// <param name="BootPeakAfterSeconds">When, since power came back.</param>
/// <param name="UsableW">What the boot peak is held against: budget less guard band.</param>
/// <param name="InrushW">The most that flows at one moment while inputs fill, at most 75 ms.</param>
/// <param name="InrushPortCount">Ports that start at that moment.</param>
/// <param name="SuppliesW">What the inrush is held against: supplies less the switch's own draw; the usable watts where no supply is designed.</param>
/// <param name="StageCount">Steps in which the group can start within both; 1 where all may start at once.</param>
/// <param name="CannotStartPorts">Ports that do not fit at all.</param>
/// <param name="StartSentence">The stages in words, with their ports.</param>
public sealed record ColdStartContract(
    string LoadCaseId,
    double BootPeakW,
    double BootPeakAfterSeconds,
    double UsableW,
    double InrushW,
    int InrushPortCount,
    double SuppliesW,
    int StageCount,
    IReadOnlyList<int> CannotStartPorts,
    string StartSentence,
    string Provenance)
{
    internal static ColdStartContract From(PseGroup group, GroupColdStart start)
    {
        return new ColdStartContract(
            start.Case.Id,
            start.Demand.WorstBoot.Watts.RoundedW(),
            start.Demand.WorstBoot.After.TotalSeconds,
            GroupLimits.Usable(group).RoundedW(),
            start.Demand.WorstInrush.Watts.RoundedW(),
            start.Demand.WorstInrush.StartingCount,
            ColdStart.SuppliesOf(group).RoundedW(),
            start.Stages.Stages.Length,
            [.. start.Stages.CannotStart],
            start.Stages.Sentence,
            DeviceContract.DesignName);
    }
}

/// <summary>Demand of one PSE group.</summary>
public sealed record GroupDemandContract(string PseId, int GroupNumber, PlaceDemandContract Demand, IReadOnlyList<ColdStartContract> ColdStarts)
{
    internal static GroupDemandContract From(DesignModel design, GroupDemand group) => new(
        group.PseId,
        group.Group,
        PlaceDemandContract.From(group.Demand),
        [.. group.ColdStarts.Select(start => ColdStartContract.From(design.Switches[group.PseId].Groups[group.Group], start))]);
}

/// <summary>Designed demand of the site and its PSE groups, by load case.</summary>
public sealed record SiteDemandContract(
    IReadOnlyList<DesignLoadCaseContract> LoadCases, PlaceDemandContract Site, IReadOnlyList<GroupDemandContract> Groups)
{
    internal static SiteDemandContract From(DesignModel design, DemandPlan plan) => new(
        [.. plan.Cases.Select(DesignLoadCaseContract.From)],
        PlaceDemandContract.From(plan.Site),
        [.. plan.Groups.Select(group => GroupDemandContract.From(design, group))]);
}
