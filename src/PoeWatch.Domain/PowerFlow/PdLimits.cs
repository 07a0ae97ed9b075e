using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Holds each device against the class it asks for, the class it is granted and the class that can be handed on to it.</summary>
internal static class PdLimits
{
    /// <summary>Adds the device's own class, or what takes its place where it knows its channel, and the class that it is granted.</summary>
    internal static void Add(FlowState state, int index, List<LimitCheck> checks)
    {
        var tree = state.Tree;
        if (tree.Place(index).DeviceType is not { } type)
        {
            return;
        }

        var row = PoeTables.LimitsOf(type.RequestedClass, tree.FeedOf(index));
        var granted = ClassOnTheWay.GrantedTo(tree.Run, tree.ParentNode(index), tree.Place(index));
        checks.Add(IsExtended(type, granted)
            ? new LimitCheck(LimitKind.ExtendedPower, index, row.PseMinimumOutput.Watts, state.FeedingWatts(index))
            : new LimitCheck(LimitKind.PdClass, index, row.PdMaximumInput.Watts, state.DemandAt(index)));
        if (granted is { } highest)
        {
            checks.Add(Held(state, index, type, LimitKind.GrantableClass, highest));
        }
    }

    /// <summary>Adds what people are warned of: a class that what feeds the device can hardly hand on.</summary>
    internal static void AddAdvice(FlowState state, int index, List<LimitCheck> checks)
    {
        var tree = state.Tree;
        if (tree.Place(index).DeviceType is { } type && tree.ParentOf(index) is >= 0 and var parent && ClassOnTheWay.HandedOnBy(tree, parent) is { } highest)
        {
            checks.Add(Held(state, index, type, LimitKind.PassedOnClass, highest) with { IsAdvice = true });
        }
    }

    /// <summary>True for limits of a device that stay as they are when another load comes beside it.</summary>
    internal static bool IsOfDevice(LimitKind kind) => kind is LimitKind.PdClass or LimitKind.GrantableClass or LimitKind.ExtendedPower;

    // Classes 6 and 8 only (onsemi NCP1095 board manual, p. 2; class 6 from memory), and only where the PSE granted them.
    private static bool IsExtended(DeviceType type, PoeClass? granted) =>
        type.TakesExtendedPower && type.RequestedClass is PoeClass.Class6 or PoeClass.Class8 && granted >= type.RequestedClass;

    // What is beyond its own class is told as such, and not again as too much for what feeds it.
    private static LimitCheck Held(FlowState state, int index, DeviceType type, LimitKind kind, PoeClass highest)
    {
        var feed = state.Tree.FeedOf(index);
        var most = PoeTables.LimitsOf(ClassOnTheWay.Assigned(type.RequestedClass, highest), feed).PdMaximumInput;
        var own = PoeTables.LimitsOf(type.RequestedClass, feed).PdMaximumInput;
        return new LimitCheck(kind, index, most.Watts, Math.Min(state.DemandAt(index), own.Watts));
    }
}
