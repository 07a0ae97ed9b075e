using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Which class the outputs along a run grant, and what is left of it for what hangs behind. Pure and thread safe.</summary>
public static class ClassOnTheWay
{
    /// <summary>The highest class that the output in front of a place grants, by the watts of that output; null where it follows no standard.</summary>
    /// <param name="parent">What feeds the place; null where the run's source does.</param>
    public static PoeClass? GrantedTo(CableRun run, FlowNode? parent, FlowNode place)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(place);
        if (parent is null)
        {
            return PoeTables.LimitsOf(run.Source.Type) is null ? null : run.Source.GrantableClass ?? Highest(run.Source.Limit, run.Source.Type);
        }

        return OutputLimitOf(parent) is { } limit ? Highest(limit, PoeTables.TypeForOutput(limit)) : null;
    }

    /// <summary>
    /// The class that a PD is assigned: the one it asks for where it is granted, else the next lower step of demotion (8, 6, 4, 3); where even that is too much the
    /// highest that is granted.
    /// </summary>
    public static PoeClass Assigned(PoeClass requested, PoeClass highest)
    {
        if (requested <= highest)
        {
            return requested;
        }

        return highest switch
        {
            PoeClass.Class7 => PoeClass.Class6,
            PoeClass.Class5 => PoeClass.Class4,
            _ => highest,
        };
    }

    /// <summary>
    /// The highest class that an extender or pass-through switch can hand on: what the class granted to it leaves after its own draw and its losses. Null where no class is known on the way.
    /// </summary>
    internal static PoeClass? HandedOnBy(FlowTree tree, int index)
    {
        var place = tree.Place(index);
        var parent = tree.ParentOf(index);
        var mine = parent < 0 ? GrantedTo(tree.Run, null, place) : HandedOnBy(tree, parent);
        if (mine is not { } granted || OutputLimitOf(place) is not { } limit)
        {
            return null;
        }

        var input = Power.Min(PoeTables.LimitsOf(granted, tree.FeedOf(index)).PdMaximumInput, place.Extender?.InputLimit ?? place.PassThrough!.InputLimit);
        var left = Power.FromWatts((input.Watts - tree.OwnWatts(index)) * tree.Efficiency(index));
        return Highest(Power.Min(left, limit), PoeTables.TypeForOutput(limit));
    }

    private static Power? OutputLimitOf(FlowNode place) => place.Extender?.OutputLimit ?? place.PassThrough?.OutputLimit;

    // An output too weak for any class grants the lowest: a PD behind it can be told no less.
    private static PoeClass Highest(Power limit, PoeType type) => PoeTables.HighestGrantable(limit, type) ?? PoeClass.Class1;
}
