namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// Solves the voltages of a run. A domain of one place whose segment no current warms has the closed form. Any other is swept backward and forward: backward, every load and
/// every drop is replaced by its tangent at the solution found last (Newton's method, eliminated along the tree into <c>i = a + b u</c>), forward, the voltages follow.
/// </summary>
/// <remarks>
/// Write every place as "current = what it takes at its volts, and its children's", "volts below the feed = drop of that current". Both sides only rise with currents and volts lost,
/// and both are convex: P/v, and the drop of a segment whose resistance grows with its warmth, the larger of two convex ones in guaranteed mode. Begun without currents and without
/// loss, Newton's method on such equations climbs towards the lowest solution, the physical one, and cannot pass it; below it the matrix stays an M-matrix. So a pivot that is
/// not positive, or a voltage that falls to zero, proves that there is no solution at all.
/// </remarks>
internal static class FlowSweep
{
    /// <summary>Largest change of any voltage in the last sweep, as a share of the source voltage.</summary>
    internal const double Tolerance = 1e-12;

    /// <summary>
    /// Away from collapse 4 to 6 sweeps do; at the very edge each sweep halves the error, so 60 reach the last bit of a double. What has
    /// not settled by then is within that last bit of collapse and counts as collapsed.
    /// </summary>
    internal const int MostSweeps = 100;

    /// <summary>Fills voltages and currents. False where the run cannot be fed; the state then says where.</summary>
    internal static bool Solve(FlowState state)
    {
        var tree = state.Tree;
        state.LayLoads();
        for (var number = tree.Domains.Count - 1; number >= 0; number--)
        {
            var domain = tree.Domains[number];
            if (!(HasClosedForm(tree, domain) ? SolveSingle(state, domain) : SolveTree(state, domain)))
            {
                return false;
            }

            var converter = tree.ParentOf(domain.Head);
            if (converter >= 0)
            {
                state.ConstantWatts[converter] += state.FeedingWatts(domain.Head) / tree.Efficiency(converter);
            }
        }

        return true;
    }

    private static bool HasClosedForm(FlowTree tree, FlowDomain domain) => domain.Places.Count == 1 && !tree.LawOf(domain.Head).IsWarmedByCurrent;

    private static bool SolveSingle(FlowState state, FlowDomain domain)
    {
        var place = domain.Head;
        var ohms = state.Ohms[place];
        var amperes = LoopFlow.Amperes(domain.SourceVolts, ohms, state.ConstantWatts[place]);
        if (double.IsNaN(amperes))
        {
            state.CollapsedAt = place;
            return false;
        }

        state.Amperes[place] = amperes;
        state.Volts[place] = domain.SourceVolts - (amperes * ohms);
        return true;
    }

    private static bool SolveTree(FlowState state, FlowDomain domain)
    {
        foreach (var place in domain.Places)
        {
            state.Volts[place] = domain.SourceVolts;
            state.Amperes[place] = 0.0;
        }

        // The tangents: i = Offset + Slope * u, u being the volts at the feeding end of the place's segment.
        Span<double> offset = state.Offset;
        Span<double> slope = state.Slope;
        for (var sweep = 0; sweep < MostSweeps; sweep++)
        {
            if (!Backward(state, domain, offset, slope))
            {
                return false;
            }

            var change = Forward(state, domain, offset, slope);
            if (double.IsNaN(change))
            {
                return false;
            }

            if (change <= Tolerance * domain.SourceVolts)
            {
                LayWarmth(state, domain);
                return true;
            }
        }

        state.CollapsedAt = domain.Head;
        return false;
    }

    private static bool Backward(FlowState state, FlowDomain domain, Span<double> offset, Span<double> slope)
    {
        var tree = state.Tree;
        foreach (var place in domain.Places)
        {
            var volts = state.Volts[place];
            offset[place] = 2.0 * state.ConstantWatts[place] / volts;
            slope[place] = -state.ConstantWatts[place] / (volts * volts);
        }

        if (tree.IsWarmedByCurrent)
        {
            LayTangents(state, domain);
        }

        for (var at = domain.Places.Count - 1; at >= 0; at--)
        {
            var place = domain.Places[at];
            var pivot = 1.0 + (slope[place] * state.Ohms[place]);
            if (pivot <= 0.0)
            {
                state.CollapsedAt = place;
                return false;
            }

            offset[place] = (offset[place] + (slope[place] * state.Lift[place])) / pivot;
            slope[place] /= pivot;
            if (at > 0)
            {
                var parent = tree.ParentOf(place);
                offset[parent] += offset[place] / tree.Efficiency(parent);
                slope[parent] += slope[place] / tree.Efficiency(parent);
            }
        }

        return true;
    }

    private static double Forward(FlowState state, FlowDomain domain, Span<double> offset, Span<double> slope)
    {
        var change = 0.0;
        for (var at = 0; at < domain.Places.Count; at++)
        {
            var place = domain.Places[at];
            var feeding = at == 0 ? domain.SourceVolts : state.Volts[state.Tree.ParentOf(place)];
            var amperes = offset[place] + (slope[place] * feeding);
            var volts = feeding - (amperes * state.Ohms[place]) + state.Lift[place];
            if (volts <= 0.0)
            {
                state.CollapsedAt = place;
                return double.NaN;
            }

            change = Math.Max(change, Math.Abs(volts - state.Volts[place]));
            state.Volts[place] = volts;
            state.Amperes[place] = amperes;
        }

        return change;
    }

    private static void LayTangents(FlowState state, FlowDomain domain)
    {
        foreach (var place in domain.Places)
        {
            (state.Ohms[place], state.Lift[place]) = state.Tree.LawOf(place).TangentAt(state.Amperes[place]);
        }
    }

    private static void LayWarmth(FlowState state, FlowDomain domain)
    {
        foreach (var place in domain.Places)
        {
            state.Ohms[place] = state.Tree.LawOf(place).OhmsAt(state.Amperes[place]);
        }
    }
}
