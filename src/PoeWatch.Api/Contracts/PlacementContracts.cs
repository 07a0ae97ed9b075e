using PoeWatch.Domain.Placement;

namespace PoeWatch.Api.Contracts;

/// <summary>Whether one more device of a type can hang on one run of a pole.</summary>
/// <param name="Fits">A free output is there and no limit of the run breaks.</param>
/// <param name="MarginAfterW">Left for yet another load beside it in the worst load case; negative: so much is missing.</param>
/// <param name="FirstBrokenKind">The limit it would break first; null where it breaks none.</param>
/// <param name="Needs">What must come before it fits, for people; empty where it fits.</param>
public sealed record DeviceFitContract(
    string TypeId, string CableRunId, string AtElement, bool Fits, int FreeOutputCount, string WorstLoadCaseId, double MarginAfterW, string? FirstBrokenKind, string Needs)
{
    internal static DeviceFitContract From(string typeId, DeviceFit fit) => new(
        typeId,
        fit.CableRunId,
        fit.AtElement,
        fit.Fits,
        fit.FreeOutputs,
        fit.WorstLoadCaseId,
        fit.MarginAfter.RoundedW(),
        fit.FirstBroken is { } broken ? Names.Of(broken.Kind) : null,
        fit.Needs);
}

/// <summary>What one run still offers at a pole.</summary>
/// <param name="ExtraW">
/// Largest further load at its far end on the pole, after losses, through run, port and group together, in the worst load case; negative: so much is too much.
/// </param>
/// <param name="FreeOutputCount">Outputs there that nothing is designed on; 0 where the run is one cable to one device.</param>
/// <param name="GroupSpareW">
/// What budget and supplies of the PSE group leave in its worst load case, at the PSE, which the run shares with others; null where an injector feeds it.
/// </param>
/// <param name="Fit">Null where no type was asked about.</param>
public sealed record CableRunPlacementContract(
    string CableRunId,
    string AtElement,
    double ExtraW,
    int FreeOutputCount,
    string WorstLoadCaseId,
    LimitContract BindingLimit,
    double? GroupSpareW,
    bool IsUnmetered,
    DeviceFitContract? Fit);

/// <summary>What a pole still offers, run by run: runs are never summed.</summary>
/// <param name="ExtraW">Of the run that could take most; null where the pole has no run.</param>
/// <param name="Fits">True where one run takes the type; null where no type was asked about.</param>
/// <param name="Provenance">Always design: computed from the design by the figures that the standard guarantees, with live excess laid on top.</param>
public sealed record PolePlacementContract(
    string PoleId,
    string PoleName,
    string? RoomiestRunId,
    double? ExtraW,
    bool? Fits,
    string Provenance,
    IReadOnlyList<CableRunPlacementContract> CableRuns);
