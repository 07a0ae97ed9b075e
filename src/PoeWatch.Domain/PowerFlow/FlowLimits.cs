using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Holds a solved state against every limit along the run.</summary>
internal static class FlowLimits
{
    /// <summary>Fills <paramref name="checks"/> with all limits that depend on what flows.</summary>
    internal static void Collect(FlowState state, List<LimitCheck> checks)
    {
        checks.Clear();
        checks.Add(AtSource(state));
        var tree = state.Tree;
        for (var index = 0; index < tree.Count; index++)
        {
            AddSegment(state, index, checks);
            var place = tree.Place(index);
            if (place.Kind == FlowNodeKind.Device)
            {
                PdLimits.Add(state, index, checks);
            }
            else if (place.Extender is { } extender)
            {
                AddExtender(state, index, extender, checks);
            }
            else if (place.PassThrough is { } passThrough)
            {
                AddPassThrough(state, index, passThrough, checks);
            }
        }
    }

    /// <summary>Adds the limits that hold whatever flows: lengths and outputs in use.</summary>
    internal static void CollectFixed(FlowTree tree, List<LimitCheck> checks)
    {
        for (var index = 0; index < tree.Count; index++)
        {
            var place = tree.Place(index);
            checks.Add(new LimitCheck(LimitKind.SegmentLength, index, CableResistance.LongestSegment.Meters, place.Incoming.Channel.Meters));
            if ((place.Extender?.OutputCount ?? place.PassThrough?.OutputCount) is { } outputs)
            {
                checks.Add(new LimitCheck(LimitKind.OutputCount, index, outputs, place.Children.Length));
            }
        }
    }

    /// <summary>Adds what people are warned of; needs a solved state.</summary>
    internal static void CollectAdvice(FlowState state, List<LimitCheck> checks)
    {
        for (var index = 0; index < state.Tree.Count; index++)
        {
            CableLimits.AddAdvice(state, index, checks);
            PdLimits.AddAdvice(state, index, checks);
        }
    }

    private static LimitCheck AtSource(FlowState state)
    {
        var source = state.Tree.Run.Source;
        var kind = source.InjectorId is null ? LimitKind.PsePort : LimitKind.InjectorRating;
        var most = PoeTables.LimitsOf(source.Type)?.MaximumPortOutput is { } cap
            ? Math.Min(source.Limit.Watts, cap.Watts)
            : source.Limit.Watts;
        return new LimitCheck(kind, 0, most, state.FeedingWatts(0));
    }

    private static void AddSegment(FlowState state, int index, List<LimitCheck> checks)
    {
        CableLimits.Add(state, index, checks);
        var tree = state.Tree;

        // An element that passes power on says nothing of its class: it is held to the window of what feeds it.
        var window = tree.Place(index).DeviceType is { } type ? PoeTables.LimitsOf(PoeTables.PdTypeOf(type.RequestedClass)) : PoeTables.LimitsOf(tree.FeedOf(index));
        if (window is { } pd)
        {
            checks.Add(new LimitCheck(LimitKind.PdVoltage, index, pd.PdMinimumVoltage.Volts, state.Volts[index]));
        }
    }

    private static void AddExtender(FlowState state, int index, Extender extender, List<LimitCheck> checks)
    {
        checks.Add(new LimitCheck(LimitKind.ExtenderInput, index, extender.InputLimit.Watts, InputWatts(state, index)));
        AddOutputs(state, index, LimitKind.ExtenderOutput, extender.OutputLimit.Watts, checks);
    }

    private static void AddPassThrough(FlowState state, int index, PassThroughSwitch passThrough, List<LimitCheck> checks)
    {
        checks.Add(new LimitCheck(LimitKind.PassThroughInput, index, passThrough.InputLimit.Watts, InputWatts(state, index)));
        var total = AddOutputs(state, index, LimitKind.PassThroughOutput, passThrough.OutputLimit.Watts, checks);
        checks.Add(new LimitCheck(LimitKind.PassThroughTotal, index, passThrough.TotalLimit.Watts, total));
    }

    /// <summary>Adds each output in use, and the free one where a further load would hang; answers their sum.</summary>
    private static double AddOutputs(FlowState state, int index, LimitKind kind, double mostWatts, List<LimitCheck> checks)
    {
        var tree = state.Tree;
        var total = state.UncabledWatts(index);
        for (var child = index + 1; child < tree.EndOf(index); child = tree.EndOf(child))
        {
            var watts = state.FeedingWatts(child);
            total += watts;
            checks.Add(new LimitCheck(kind, index, tree.Place(child).Incoming.From.Output, mostWatts, watts));
        }

        if (state.FurtherAt == index)
        {
            checks.Add(new LimitCheck(kind, index, mostWatts, state.FurtherWatts));
        }

        return total;
    }

    private static double InputWatts(FlowState state, int index) => state.Volts[index] * state.Amperes[index];
}
