using System.Collections.Immutable;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>The load case that leaves least on a run, with what it means there. Immutable.</summary>
/// <param name="Case">The load case.</param>
/// <param name="Demand">Demand by element id that was solved for, the live excess included.</param>
/// <param name="Flow">The run in that case.</param>
/// <param name="Extra">What could still hang at the place asked about.</param>
public sealed record WorstLoadCase(
    LoadCase Case, IReadOnlyDictionary<string, Power> Demand, PowerFlowResult Flow, ExtraWatts Extra)
{
    /// <summary>The worst of some load cases for the far end of a run. No cases given: the design's own, or its implicit one.</summary>
    public static WorstLoadCase For(DesignModel design, CableRun run, IEnumerable<LoadCase> cases, OperatingMode mode)
    {
        ArgumentNullException.ThrowIfNull(run);
        return For(design, run, cases, mode, run.FarEnd.ElementId, Power.Zero);
    }

    /// <summary>The worst for any place of a run, with a live excess over the design on top.</summary>
    /// <param name="atElement">Place where a further load would hang.</param>
    /// <param name="excess">Watts that the live draw exceeds the design by, laid on the far end where they weigh most; 0 or more.</param>
    /// <remarks>Where a case leaves open who pages, each choice among the run's own speakers is solved. Which case is worst is decided by solving each: the largest sum need not be the one that breaks a limit first.</remarks>
    public static WorstLoadCase For(
        DesignModel design, CableRun run, IEnumerable<LoadCase> cases, OperatingMode mode, string atElement, Power excess)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(cases);
        var given = cases.ToImmutableArray();
        return (given.IsEmpty ? DesignDemands.CasesOf(design) : given)
            .SelectMany(
                loadCase => CaseDemands.Of(run, loadCase, design.Schedules),
                (loadCase, demand) => In(run, loadCase, demand, mode, atElement, excess))
            .MinBy(candidate => (candidate.Extra.Watts, -(candidate.Flow.DrawAtPse ?? Power.Zero)))!;
    }

    private static WorstLoadCase In(
        CableRun run, LoadCase loadCase, CaseDemand needed, OperatingMode mode, string atElement, Power excess)
    {
        var demand = new Dictionary<string, Power>(needed.AtDevices, StringComparer.Ordinal);
        var farEnd = run.FarEnd.ElementId;
        demand[farEnd] = demand.GetValueOrDefault(farEnd) + excess;
        return new WorstLoadCase(
            loadCase, demand, PowerFlowSolver.Solve(run, demand, mode), ExtraWattsFinder.Find(run, demand, atElement, mode));
    }
}
