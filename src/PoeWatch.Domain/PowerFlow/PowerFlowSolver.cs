using System.Collections.Frozen;
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
        var points = new Dictionary<string, FlowPoint>(tree.Count, StringComparer.Ordinal);
        var lossWatts = 0.0;
        for (var index = 0; index < tree.Count; index++)
        {
            var amperes = state.Amperes[index];
            var loss = amperes * amperes * tree.Ohms(index);
            lossWatts += loss;
            points.Add(tree.Place(index).ElementId, new FlowPoint(
                Voltage.FromVolts(state.Volts[index]),
                Current.FromAmperes(amperes),
                Power.FromWatts(state.Volts[index] * amperes),
                Power.FromWatts(loss)));
        }

        var checks = new List<LimitCheck>();
        FlowLimits.Collect(state, checks);
        FlowLimits.CollectFixed(tree, checks);
        return new PowerFlowResult(
            FlowOutcome.Solved,
            string.Empty,
            Power.FromWatts(state.FeedingWatts(0)),
            Power.FromWatts(lossWatts),
            points.ToFrozenDictionary(StringComparer.Ordinal),
            [.. checks.Select(check => LimitWording.ToMargin(tree, check))]);
    }

    private static PowerFlowResult CannotBeFed(FlowState state)
    {
        var tree = state.Tree;
        var place = state.CollapsedAt;
        var asked = state.DemandWatts;
        var most = asked * FlowSearch.LargestShare(state, static solved => true);
        var collapse = LimitWording.Collapse(tree, place, most, asked, isBroken: true);
        var checks = new List<LimitCheck>();
        FlowLimits.CollectFixed(tree, checks);
        return new PowerFlowResult(
            FlowOutcome.CannotBeFed,
            collapse.Sentence,
            null,
            null,
            FrozenDictionary<string, FlowPoint>.Empty,
            [collapse, .. checks.Select(check => LimitWording.ToMargin(tree, check))]);
    }
}
