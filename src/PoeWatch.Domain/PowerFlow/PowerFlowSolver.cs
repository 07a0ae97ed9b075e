using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// Direct-current power flow on one run: constant-power loads on a tree of segments, extenders and pass-through switches. Always the
/// physical (smaller-current) solution, or none. Pure and thread safe.
/// </summary>
/// <remarks>
/// An extender, and a pass-through switch without a regulated output voltage, pass on the voltage that arrives. Any pass-through switch
/// takes at its input what its outputs give, over its efficiency, plus its own draw. A source of a type outside the standard has no
/// voltage and current limits but its own.
/// </remarks>
public static class PowerFlowSolver
{
    // Room enough for a usual place, so that the list rarely grows.
    private const int LimitsPerPlace = 10;

    /// <summary>Solves a run for one set of demands.</summary>
    /// <param name="demandByDevice">
    /// Watts by element id, 0 or more: at a device its draw at its input; at an extender or pass-through switch a further load at its outputs.
    /// An element that is not named needs 0 W; a name that the run does not have is passed over.
    /// </param>
    public static PowerFlowResult Solve(CableRun run, IReadOnlyDictionary<string, Power> demandByDevice, OperatingMode mode)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(demandByDevice);
        var tree = new FlowTree(run, mode);
        var state = new FlowState(tree, demandByDevice);
        return FlowSweep.Solve(state) ? Solved(state) : CannotBeFed(state);
    }

    private static PowerFlowResult Solved(FlowState state)
    {
        var tree = state.Tree;
        var points = new FlowPoint[tree.Count];
        var lossWatts = 0.0;
        for (var index = 0; index < points.Length; index++)
        {
            var amperes = state.Amperes[index];
            var loss = amperes * amperes * state.Ohms[index];
            lossWatts += loss;
            points[index] = new FlowPoint(
                Voltage.FromVolts(state.Volts[index]),
                Current.FromAmperes(amperes),
                Power.FromWatts(state.Volts[index] * amperes),
                Power.FromWatts(loss));
        }

        var checks = new List<LimitCheck>(LimitsPerPlace * tree.Count);
        FlowLimits.Collect(state, checks);
        FlowLimits.CollectFixed(tree, checks);
        FlowLimits.CollectAdvice(state, checks);
        return new PowerFlowResult(
            FlowOutcome.Solved,
            string.Empty,
            Power.FromWatts(state.FeedingWatts(0)),
            Power.FromWatts(lossWatts),
            new FlowPoints(tree, points),
            Margins(tree, checks, first: null));
    }

    private static PowerFlowResult CannotBeFed(FlowState state)
    {
        var asked = state.DemandWatts;
        var most = asked * FlowSearch.LargestShare(state, static solved => true);
        state.Share = 1.0;
        FlowSweep.Solve(state);
        var collapse = LimitWording.Collapse(state, most, asked, isBroken: true);
        var checks = new List<LimitCheck>();
        FlowLimits.CollectFixed(state.Tree, checks);
        return new PowerFlowResult(
            FlowOutcome.CannotBeFed,
            collapse.Sentence,
            null,
            null,
            FrozenDictionary<string, FlowPoint>.Empty,
            Margins(state.Tree, checks, collapse));
    }

    private static ImmutableArray<LimitMargin> Margins(FlowTree tree, List<LimitCheck> checks, LimitMargin? first)
    {
        var margins = ImmutableArray.CreateBuilder<LimitMargin>(checks.Count + (first is null ? 0 : 1));
        if (first is not null)
        {
            margins.Add(first);
        }

        foreach (var check in checks)
        {
            margins.Add(LimitWording.ToMargin(tree, check));
        }

        return margins.MoveToImmutable();
    }
}
