using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// Loads, voltages and currents of one run while it is being solved; reused from solution to solution. For one thread at a time.
/// Units: W, V, A.
/// </summary>
internal sealed class FlowState
{
    private readonly double[] _deviceWatts;
    private readonly double[] _behindWatts;

    internal FlowState(FlowTree tree, IReadOnlyDictionary<string, Power> demandByDevice)
    {
        Tree = tree;
        _deviceWatts = new double[tree.Count];
        _behindWatts = new double[tree.Count];
        Volts = new double[tree.Count];
        Amperes = new double[tree.Count];
        ConstantWatts = new double[tree.Count];
        Offset = new double[tree.Count];
        Slope = new double[tree.Count];
        Ohms = new double[tree.Count];
        Lift = new double[tree.Count];
        for (var index = 0; index < tree.Count; index++)
        {
            Ohms[index] = tree.LawOf(index).OhmsAt(0.0);
            var place = tree.Place(index);
            if (!demandByDevice.TryGetValue(place.ElementId, out var demand))
            {
                continue;
            }

            ArgumentOutOfRangeException.ThrowIfNegative(demand.Watts, place.ElementId);
            (place.Kind == FlowNodeKind.Device ? _deviceWatts : _behindWatts)[index] = demand.Watts;
            DemandWatts += demand.Watts;
        }
    }

    internal FlowTree Tree { get; }

    /// <summary>All demands together, at the PD inputs.</summary>
    internal double DemandWatts { get; }

    /// <summary>Share of every demand that counts, 0..1.</summary>
    internal double Share { get; set; } = 1.0;

    /// <summary>Where a further load hangs; null for nowhere.</summary>
    internal int? FurtherAt { get; init; }

    internal double FurtherWatts { get; set; }

    /// <summary>At each input.</summary>
    internal double[] Volts { get; }

    /// <summary>Into each input.</summary>
    internal double[] Amperes { get; }

    /// <summary>Constant power that each place takes at its input, whatever its voltage; what its children draw in the same domain comes on top.</summary>
    internal double[] ConstantWatts { get; }

    /// <summary>Work space of the sweep: by how much the tangent of a segment's drop lies below its slope times the current, in V.</summary>
    internal double[] Lift { get; }

    /// <summary>Loop of the segment to each place, as warm as the current makes it. While a solution is sought, the slope of its drop.</summary>
    internal double[] Ohms { get; }

    /// <summary>Work space of the sweep.</summary>
    internal double[] Offset { get; }

    /// <summary>Work space of the sweep.</summary>
    internal double[] Slope { get; }

    /// <summary>Where the last solution that failed did so.</summary>
    internal int CollapsedAt { get; set; }

    internal double DemandAt(int index) => _deviceWatts[index] * Share;

    /// <summary>Volts at the feeding end of the segment to a place.</summary>
    internal double FeedingVolts(int index) => Tree.FixedFeedVolts(index) ?? Volts[Tree.ParentOf(index)];

    /// <summary>Watts into the segment to a place.</summary>
    internal double FeedingWatts(int index) => FeedingVolts(index) * Amperes[index];

    /// <summary>Loads at every place before any output of a converter is known.</summary>
    internal void LayLoads()
    {
        for (var index = 0; index < Tree.Count; index++)
        {
            ConstantWatts[index] = Tree.OwnWatts(index) + DemandAt(index) + (UncabledWatts(index) / Tree.Efficiency(index));
        }
    }

    /// <summary>Loads that hang on a place without a cable of their own in the run, at its output.</summary>
    internal double UncabledWatts(int index) => (_behindWatts[index] * Share) + (index == FurtherAt ? FurtherWatts : 0.0);
}
