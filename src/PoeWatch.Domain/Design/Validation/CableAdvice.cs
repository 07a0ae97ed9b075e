using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Says of a run that works what people should know of its cables and classes all the same.</summary>
internal static class CableAdvice
{
    /// <summary>Warns of devices that are granted less than they ask for, though their demand fits.</summary>
    public static void WarnOfDemotions(DesignParts parts, CableRun run) => WarnOfDemotions(parts, run, null, run.Root);

    private static void WarnOfDemotions(DesignParts parts, CableRun run, FlowNode? parent, FlowNode place)
    {
        if (place.DeviceType is { } type
            && ClassOnTheWay.GrantedTo(run, parent, place) is { } granted
            && PoeTables.PdTypeOf(type.RequestedClass) > PoeTables.PdTypeOf(granted))
        {
            var assigned = ClassOnTheWay.Assigned(type.RequestedClass, granted);
            var at = parts.WrittenCables[place.Incoming.Id].From!;
            parts.Problems.Warning(
                "class-demoted", at.At, place.ElementId, at.Value,
                $"'{place.ElementId}' asks for class {(int)type.RequestedClass} and is granted class {(int)assigned}: it has to do with less, though its demand fits.",
                "Make sure that the device works within the lower class, or feed it from an output that grants its class.");
        }

        foreach (var child in place.Children)
        {
            WarnOfDemotions(parts, run, place, child);
        }
    }
}
