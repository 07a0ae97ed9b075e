using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Placement;

/// <summary>Whether one more device of a type can hang on one run of a pole. Immutable.</summary>
/// <param name="AtElement">Where it would hang.</param>
/// <param name="FreeOutputs">Outputs there that nothing is designed on.</param>
/// <param name="WorstLoadCaseId">The load case that leaves least once it hangs there.</param>
/// <param name="MarginAfter">Watts left for yet another load beside it in that load case; negative: so much is missing.</param>
/// <param name="FirstBroken">The limit it would break first; null where it breaks none (an output may still be missing).</param>
/// <param name="Needs">What must come before it fits, for people; empty where it fits.</param>
public sealed record DeviceFit(
    string CableRunId,
    string AtElement,
    bool Fits,
    int FreeOutputs,
    string WorstLoadCaseId,
    Power MarginAfter,
    LimitMargin? FirstBroken,
    string Needs);
