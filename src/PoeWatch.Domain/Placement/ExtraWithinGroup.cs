using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Placement;

/// <summary>
/// Extra watts at a place of a run through run, port and group together: the run's own answer, or less where its group runs out before. Exact to a microwatt,
/// rounded down, and monotone: what the PSE gives grows with every load.
/// </summary>
internal static class ExtraWithinGroup
{
    /// <param name="alone">The run by itself in one load case.</param>
    /// <param name="slack">What its group leaves in that load case; null where it has a supply of its own.</param>
    public static WorstLoadCase Of(CableRun run, WorstLoadCase alone, OperatingMode mode, GroupSlack? slack)
    {
        if (slack is null || (alone.Extra.Watts <= Power.Zero && alone.Extra.Watts <= slack.Watts))
        {
            return alone;
        }

        if (slack.Watts <= Power.Zero)
        {
            return alone with { Extra = new ExtraWatts(alone.Extra.AtElement, slack.Watts, slack.Binding) };
        }

        var tree = new FlowTree(run, mode);
        var state = new FlowState(tree, alone.Demand) { FurtherAt = tree.IndexOf(alone.Extra.AtElement) };
        if (!FlowSweep.Solve(state))
        {
            throw new InvalidOperationException($"Run {run.Id} collapsed below the extra watts found for {alone.Extra.AtElement}.");
        }

        var most = state.FeedingWatts(0) + slack.Watts.Watts;
        bool Holds(double watts)
        {
            state.FurtherWatts = watts;
            return FlowSweep.Solve(state) && state.FeedingWatts(0) <= most;
        }

        return Holds(alone.Extra.Watts.Watts)
            ? alone
            : alone with
            {
                Extra = new ExtraWatts(
                    alone.Extra.AtElement,
                    Power.FromWatts(FlowSearch.LargestGood(alone.Extra.Watts.Watts, FlowSearch.ResolutionWatts, Holds)),
                    slack.Binding),
            };
    }
}
