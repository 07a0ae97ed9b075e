using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>One pole in a list: what it draws, what is left and what binds first.</summary>
/// <param name="Draw">Sum over its runs at the PSE; unknown where one of them is.</param>
/// <param name="IsShared">A run of this pole also serves another pole: then the draw is not this pole's alone.</param>
/// <param name="HasUnmetered">Nobody measures one of its runs.</param>
/// <param name="SmallestRunId">The run that leaves least; null where the pole has no run.</param>
/// <param name="HeadroomW">What that run leaves at its far end; null where the pole has no run.</param>
/// <param name="HeadroomAtLeast">True where only a ceiling or the design is known.</param>
/// <param name="BindingLimit">The limit that breaks first, in one sentence.</param>
/// <param name="WorstLoadCaseId">The load case that leaves least.</param>
/// <param name="At">Oldest reading that the draw rests on; null where there is none.</param>
/// <param name="Kept">True where all those readings are synced to disk; null where there is none.</param>
/// <param name="Grade">ample, bounded, unmetered, unknown, slim, spent or over.</param>
public sealed record PoleContract(
    string Id,
    string Name,
    CoordinatesContract? Coordinates,
    DrawContract Draw,
    double? DesignDemandNowW,
    bool IsShared,
    bool HasUnmetered,
    int CableRunCount,
    string? SmallestRunId,
    double? HeadroomW,
    bool HeadroomAtLeast,
    string? BindingLimitKind,
    string? BindingLimit,
    string? WorstLoadCaseId,
    DateTimeOffset? At,
    bool? Kept,
    string Grade)
{
    internal static PoleContract From(SiteView view, Pole pole)
    {
        var cableRuns = view.Design.CableRunsByPole.GetValueOrDefault(pole.Id, []);
        if (!view.Assessment.Poles.TryGetValue(pole.Id, out var state))
        {
            return Unassessed(pole, cableRuns.Length);
        }

        var smallest = state.Smallest;
        return new(
            pole.Id,
            pole.Name,
            CoordinatesContract.From(pole.Coordinates),
            DrawContract.From(state.DrawAtPse),
            state.DesignDemandNow.RoundedW(),
            state.IsShared,
            state.HasUnmetered,
            cableRuns.Length,
            smallest?.CableRunId,
            smallest?.Headroom.Watts.RoundedW(),
            smallest?.IsAtLeast ?? false,
            smallest is null ? null : Names.Of(smallest.Headroom.Binding.Kind),
            smallest?.Headroom.Binding.Sentence,
            smallest?.WorstLoadCaseId,
            state.At,
            state.At is null ? null : MeteringIds(cableRuns).All(view.IsKept),
            Names.Of(state.Grade));
    }

    private static PoleContract Unassessed(Pole pole, int cableRunCount) => new(
        pole.Id, pole.Name, CoordinatesContract.From(pole.Coordinates), DrawContract.From(KnownPower.Nothing), null, false, false, cableRunCount,
        null, null, false, null, null, null, null, null, Names.Of(HeadroomGrade.Unknown));

    private static IEnumerable<string> MeteringIds(IEnumerable<CableRun> cableRuns) =>
        cableRuns.Select(r => r.Source.Port?.PseId).OfType<string>().Distinct(StringComparer.Ordinal);
}

/// <summary>A pole with all that hangs on it.</summary>
public sealed record PoleDetailContract(PoleContract Pole, IReadOnlyList<CableRunContract> CableRuns)
{
    /// <summary>Of its runs together, whole; null where it has none.</summary>
    public WorstDemandsContract? WorstDemands { get; init; }
}

/// <summary>A device as the design has it.</summary>
/// <param name="DesignDemandW">What its type takes at its input where no condition holds: a figure of the design, not a reading.</param>
/// <param name="WorstDemandW">The most that it may need at its input, in any load case of the design.</param>
/// <param name="WorstLoadCaseId">That load case.</param>
/// <param name="Provenance">Always design: nobody measures a single device here.</param>
public sealed record DeviceContract(
    string Id, string Name, string TypeId, string TypeName, string? PoleId, string Criticality, double DesignDemandW, double WorstDemandW, string WorstLoadCaseId,
    string Provenance)
{
    internal static DeviceContract From(DesignModel design, PoweredDevice device)
    {
        var type = design.DeviceTypes[device.TypeId];
        var (worst, watts) = DeviceDemand.Worst(type, DesignDemands.CasesOf(design));
        return new(
            device.Id, device.Name, device.TypeId, type.Name, device.PoleId, Names.Of(device.Criticality), type.Demand.RoundedW(), watts.RoundedW(), worst.Id,
            DesignName);
    }

    internal const string DesignName = "design";
}

/// <summary>One stretch of cable as designed.</summary>
/// <param name="MeasuredLoopOhm">Loop resistance of one pair as a tester printed it; null where nobody measured.</param>
public sealed record SegmentContract(
    string Id, string From, string To, double LengthM, int GaugeAwg, int PairCount, string? Category, string Material, double? MeasuredLoopOhm)
{
    /// <summary>What the meters at both ends tell of its copper; null where it is not metered at both ends.</summary>
    public LoopContract? Loop { get; init; }

    internal static SegmentContract Of(SiteView view, CableSegment segment) => new(
        segment.Id,
        segment.From.ToString(),
        segment.To,
        segment.Length.Meters,
        segment.GaugeAwg,
        segment.Pairs,
        segment.Category,
        Names.Of(segment.Material),
        segment.MeasuredLoop?.Ohms)
    {
        Loop = view.Assessment.Segments.FirstOrDefault(s => s.Segment.Segment.Id == segment.Id) is { } balance ? LoopContract.Of(balance) : null,
    };
}

/// <summary>A whole cable path held against the design.</summary>
/// <param name="PortRef">The PSE port that meters it; null where it is unmetered.</param>
/// <param name="InjectorId">The injector that feeds it; null where a port does.</param>
/// <param name="SourceLimitW">The most that its source gives, at the PSE.</param>
/// <param name="DesignDemandNowW">At the PSE, for the worst load case that can be in force now.</param>
/// <param name="DesignDemandWorstW">At the PSE, for the worst load case that can still come this season.</param>
/// <param name="ExcessW">What the live draw exceeds the design demand of now by.</param>
/// <param name="Headroom">Null where the run is not assessed yet.</param>
public sealed record CableRunContract(
    string Id,
    IReadOnlyList<string> PoleIds,
    string? PortRef,
    string? InjectorId,
    double SourceLimitW,
    DrawContract Draw,
    double? DesignDemandNowW,
    double? DesignDemandWorstW,
    string? WorstLoadCaseId,
    HeadroomContract? Headroom,
    bool IsUnmetered,
    double? ExcessW,
    DateTimeOffset? At,
    bool? Kept,
    string Grade,
    IReadOnlyList<DeviceContract> Devices,
    IReadOnlyList<SegmentContract> Segments)
{
    /// <summary>The same for the load cases that can still come today, where worst, headroom and grade are of the whole season; null where the run is not assessed yet.</summary>
    public WorstOfRunContract? WorstToday { get; init; }

    internal static CableRunContract From(SiteView view, CableRun cableRun)
    {
        var state = view.Assessment.CableRuns.GetValueOrDefault(cableRun.Id);
        var at = cableRun.Source.Port is { } port ? view.Assessment.Ports.GetValueOrDefault(port)?.At : null;
        return new(
            cableRun.Id,
            cableRun.PoleIds,
            cableRun.Source.Port?.ToString(),
            cableRun.Source.InjectorId,
            cableRun.Source.Limit.RoundedW(),
            DrawContract.From(state?.DrawAtPse ?? KnownPower.Nothing),
            state?.DesignDemandNow.RoundedW(),
            state?.DesignDemandWorst.RoundedW(),
            state?.WorstLoadCaseId,
            state is null ? null : HeadroomContract.From(state),
            cableRun.IsUnmetered,
            state?.Excess.RoundedW(),
            at,
            at is null ? null : view.IsKept(cableRun.Source.Port!.Value.PseId),
            Names.Of(state?.Grade ?? HeadroomGrade.Unknown),
            [.. cableRun.Devices.Select(device => DeviceContract.From(view.Design, device))],
            [.. cableRun.Root.SelfAndBelow().Select(place => SegmentContract.Of(view, place.Incoming))])
        {
            WorstToday = WorstOfRunContract.From(state?.WorstToday),
        };
    }
}

/// <summary>A kind of device.</summary>
/// <param name="DesignDemandW">What it takes at its input where no condition holds.</param>
/// <param name="WorstDemandW">The most that it may need at its input, in any load case of the design.</param>
/// <param name="DesignDemandByLoadCaseW">The same by load case, where one differs.</param>
/// <param name="Source">Where the figures come from; empty where nobody says.</param>
/// <param name="WrittenIn">File that describes it.</param>
public sealed record DeviceTypeContract(
    string Id, string Name, int RequestedClassNumber, double DesignDemandW, double WorstDemandW, IReadOnlyDictionary<string, double> DesignDemandByLoadCaseW,
    string Provenance, string Source, string WrittenIn)
{
    internal static DeviceTypeContract From(DesignModel design, DeviceType type) => new(
        type.Id,
        type.Name,
        (int)type.RequestedClass,
        type.Demand.RoundedW(),
        DeviceDemand.Worst(type, DesignDemands.CasesOf(design)).Watts.RoundedW(),
        DesignDemands.CasesOf(design).Select(c => (c.Id, Demand: DesignDemands.Of(type, c))).Where(d => d.Demand != type.Demand)
            .ToDictionary(d => d.Id, d => d.Demand.RoundedW(), StringComparer.Ordinal),
        DeviceContract.DesignName,
        type.Source,
        Path.GetFileName(type.WrittenIn));
}
