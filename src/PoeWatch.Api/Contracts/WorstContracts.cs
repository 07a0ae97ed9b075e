using PoeWatch.Domain.Assessment;

namespace PoeWatch.Api.Contracts;

/// <summary>The load case that asks most of one place, by the design.</summary>
/// <param name="DesignDemandW">At the PSE: a figure of the design, not a reading.</param>
/// <param name="IsLimit">A run cannot be fed in that case and counts with the limit of its source.</param>
public sealed record WorstDemandContract(string LoadCaseId, double DesignDemandW, bool IsLimit)
{
    internal static WorstDemandContract From(WorstDemand worst) => new(worst.LoadCaseId, worst.Demand.RoundedW(), worst.IsLimit);
}

/// <summary>What the design asks for at one place: in the worst load case that may be in force now, can still come today, can still come this season.</summary>
public sealed record WorstDemandsContract(WorstDemandContract Now, WorstDemandContract Today, WorstDemandContract ThisSeason)
{
    internal static WorstDemandsContract? From(WorstDemands? worst) => worst is null
        ? null
        : new(WorstDemandContract.From(worst.Now), WorstDemandContract.From(worst.Today), WorstDemandContract.From(worst.Season));
}

/// <summary>The load case that leaves least on a run among those that can still come today.</summary>
/// <param name="DesignDemandW">At the PSE; null where the run cannot be fed in it.</param>
/// <param name="HeadroomW">What it leaves at the far end; negative where a limit is broken.</param>
public sealed record WorstOfRunContract(string LoadCaseId, double? DesignDemandW, double HeadroomW, string BindingLimit)
{
    internal static WorstOfRunContract? From(WorstOfRun? worst) => worst is null
        ? null
        : new(worst.LoadCaseId, worst.DesignDemand.RoundedW(), worst.Headroom.Watts.RoundedW(), worst.Headroom.Binding.Sentence);
}
