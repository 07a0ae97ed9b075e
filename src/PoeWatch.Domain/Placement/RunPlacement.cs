using System.Collections.Immutable;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Placement;

/// <summary>What one run still offers at a pole. Immutable.</summary>
/// <param name="AtElement">The run's far end on that pole: where one more device would hang.</param>
/// <param name="FreeOutputs">Outputs there that nothing is designed on; 0 where the run is one cable to one device.</param>
/// <param name="WorstLoadCaseId">The load case that leaves least.</param>
/// <param name="Extra">Largest further load there in that load case, with the limit that binds.</param>
public sealed record RunPlacement(string CableRunId, string AtElement, int FreeOutputs, string WorstLoadCaseId, ExtraWatts Extra);

/// <summary>What a pole still offers, run by run: runs are never summed. Immutable.</summary>
public sealed record PolePlacement(string PoleId, ImmutableArray<RunPlacement> CableRuns)
{
    /// <summary>The run that could take most; null where the pole has none.</summary>
    public RunPlacement? Roomiest => CableRuns.IsEmpty ? null : CableRuns.MaxBy(placement => placement.Extra.Watts);
}
