namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// Finds the edge between what holds and what does not. Every limit is monotone in every load (more load: more amperes, fewer volts),
/// so halving an interval finds the one edge there is.
/// </summary>
internal static class FlowSearch
{
    /// <summary>Width at which a search for watts ends.</summary>
    internal const double ResolutionWatts = 1e-6;

    // A double has 53 bits: more halvings change nothing.
    private const int MostHalvings = 60;

    /// <summary>The largest share of all demands, 0..1, at which the run can be fed and <paramref name="holds"/>; 0 where none does.</summary>
    internal static double LargestShare(FlowState state, Func<FlowState, bool> holds)
    {
        var resolution = ResolutionWatts / Math.Max(1.0, state.DemandWatts);
        return LargestGood(1.0, resolution, share =>
        {
            state.Share = share;
            return FlowSweep.Solve(state) && holds(state);
        });
    }

    /// <summary>The largest good value below one that is known to be bad; 0 where nothing is good, or only 0.</summary>
    internal static double LargestGood(double bad, double resolution, Func<double, bool> isGood)
    {
        var good = 0.0;
        for (var halving = 0; halving < MostHalvings && bad - good > resolution; halving++)
        {
            var middle = good + ((bad - good) / 2.0);
            if (isGood(middle))
            {
                good = middle;
            }
            else
            {
                bad = middle;
            }
        }

        return good;
    }
}
