using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Placement;

/// <summary>How much more a PSE group can feed in the load case that leaves least. Immutable.</summary>
/// <param name="WorstLoadCaseId">That load case.</param>
/// <param name="OnRuns">At the PSE, on the runs that it feeds already; negative: so much is too much.</param>
/// <param name="OnRunsBinding">The limit that ends it.</param>
/// <param name="OnFreePort">At the PSE, on a port that is free: never more than on the runs, for there the group sets aside by its policy too.</param>
/// <param name="OnFreePortBinding">The limit that ends it.</param>
public sealed record GroupRoom(
    string PseId,
    int Group,
    string WorstLoadCaseId,
    Power OnRuns,
    LimitMargin OnRunsBinding,
    Power OnFreePort,
    LimitMargin OnFreePortBinding);
