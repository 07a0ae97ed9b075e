using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// How much more constant-power load can hang at one place of a run before the first limit breaks. Exact to a microwatt, rounded down, and
/// monotone: a longer cable or a larger demand never leaves more. Pure and thread safe.
/// </summary>
/// <remarks>
/// The further load is another device. At an extender or pass-through switch it hangs at a free output, at no distance, so it counts against
/// that output, the total and, through the converter, the input. At a device it hangs in parallel at the device's place. The class of a
/// device and the length of a segment do not limit it: they are the same with and without it.
/// </remarks>
public static class ExtraWattsFinder
{
    /// <summary>
    /// Positive: the largest further load. Zero: not one watt more, or a limit is broken that no smaller demand would mend. Negative: a limit
    /// is broken or the run cannot be fed, and the demands of all devices of the run, each in proportion, would have to give up that much.
    /// </summary>
    /// <param name="demandByDevice">As for <see cref="PowerFlowSolver.Solve"/>.</param>
    /// <param name="atElement">Element of the run at which the further load would hang.</param>
    /// <exception cref="ArgumentException">The run has no such element.</exception>
    public static ExtraWatts Find(
        CableRun run, IReadOnlyDictionary<string, Power> demandByDevice, string atElement, OperatingMode mode)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(demandByDevice);
        var tree = new FlowTree(run, mode);
        var state = new FlowState(tree, demandByDevice) { FurtherAt = tree.IndexOf(atElement) };
        var checks = new List<LimitCheck>();
        if (!FlowSweep.Solve(state))
        {
            return new ExtraWatts(atElement, -Excess(state, checks), CollapseNow(state));
        }

        CollectForFurther(state, checks);
        var worst = Worst(checks);
        if (!worst.IsExceeded)
        {
            return Upwards(state, checks, atElement);
        }

        var binding = LimitWording.ToMargin(tree, worst);
        return new ExtraWatts(atElement, binding.IsBroken ? -Excess(state, checks) : Power.Zero, binding);
    }

    private static ExtraWatts Upwards(FlowState state, List<LimitCheck> checks, string atElement)
    {
        var tree = state.Tree;
        var now = checks.ToArray();
        bool Holds(double watts)
        {
            state.FurtherWatts = watts;
            return FlowSweep.Solve(state) && HoldsAll(state, checks);
        }

        // The source can give no more than its limit, so a load of a watt more than that is surely too much.
        var most = Math.Max(0.0, tree.Run.Source.Limit.Watts) + 1.0;
        var good = FlowSearch.LargestGood(most, FlowSearch.ResolutionWatts, Holds);
        state.FurtherWatts = good + (2.0 * FlowSearch.ResolutionWatts);
        if (!FlowSweep.Solve(state))
        {
            var binding = LimitWording.Collapse(state, state.DemandWatts + good, state.DemandWatts, isBroken: false);
            return new ExtraWatts(atElement, Power.FromWatts(good), binding);
        }

        CollectForFurther(state, checks);
        var first = checks.IndexOf(Worst(checks));
        return new ExtraWatts(atElement, Power.FromWatts(good), LimitWording.ToMargin(tree, now[first]));
    }

    /// <summary>What all demands together, each in proportion, are too much by; 0 where even none at all would break a limit.</summary>
    private static Power Excess(FlowState state, List<LimitCheck> checks)
    {
        state.FurtherWatts = 0.0;
        state.Share = 0.0;
        if (!FlowSweep.Solve(state) || !HoldsAll(state, checks))
        {
            return Power.Zero;
        }

        var share = FlowSearch.LargestShare(state, _ => HoldsAll(state, checks));
        return Power.FromWatts(state.DemandWatts * (1.0 - share));
    }

    private static LimitMargin CollapseNow(FlowState state)
    {
        var most = state.DemandWatts * FlowSearch.LargestShare(state, static _ => true);
        state.Share = 1.0;
        FlowSweep.Solve(state);
        return LimitWording.Collapse(state, most, state.DemandWatts, isBroken: true);
    }

    private static bool HoldsAll(FlowState state, List<LimitCheck> checks)
    {
        CollectForFurther(state, checks);
        return checks.TrueForAll(static check => !check.IsExceeded);
    }

    private static void CollectForFurther(FlowState state, List<LimitCheck> checks)
    {
        FlowLimits.Collect(state, checks);
        checks.RemoveAll(static check => PdLimits.IsOfDevice(check.Kind));
    }

    private static LimitCheck Worst(List<LimitCheck> checks) => checks.MaxBy(static check => check.Beyond);
}
