using System.Globalization;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Says of cables, and of a run that works, what people should know all the same.</summary>
internal sealed class CableAdvice(DesignParts parts)
{
    private readonly WrittenFigures _figures = new(parts);

    /// <summary>Warns of what is written of a cable, once where it is written.</summary>
    public static void WarnAsWritten(ProblemList problems, string element, InstallationConfig written)
    {
        if (written.Material is { Value: "copper-clad-aluminium" } material)
        {
            problems.Warning(
                "copper-clad-aluminium", material.At, element, material.Value,
                "Copper-clad aluminium has more than half as much resistance again as copper and meets no cabling category.",
                "Plan to replace it with solid copper.");
        }

        if (written.BundledCables is { } bundled && int.TryParse(bundled.Value, CultureInfo.InvariantCulture, out var cables) && cables > CableHeat.LargestBundle)
        {
            problems.Warning(
                "bundle-too-large", bundled.At, element, bundled.Value,
                $"A bundle of powered cables should have no more than {CableHeat.LargestBundle} (TSB-184-A, as reported by the trade press).",
                "Split the bundle, or lay the cables apart from each other.");
        }
    }

    /// <summary>Warns of what a run that works lies beyond, each once with the load case that is worst for it.</summary>
    public void Warn(CableRun run, IEnumerable<SolvedCase> solved)
    {
        WarnOfDemotions(run, null, run.Root);
        var worst = solved
            .SelectMany(one => one.Flow.Advice, (one, margin) => new BrokenLimit(margin, one.LoadCase))
            .GroupBy(broken => (broken.Margin.Kind, broken.Margin.ElementId))
            .Select(group => group.MaxBy(broken => broken.Margin.Value - broken.Margin.LimitValue)!);
        foreach (var broken in worst.Where(broken => IsWorthTelling(run, broken.Margin)))
        {
            var (kind, at) = (broken.Margin.Kind, PlaceOf(broken.Margin));
            parts.Problems.Warning(
                CodeOf(kind), at.At, broken.Margin.ElementId, at.Value,
                $"{broken.Margin.Sentence} Run '{run.Id}', load case '{broken.LoadCase.Id}'.", Remedy(kind));
        }
    }

    // The length for data rests on the temperature alone: where the design says nothing of it there is nothing to hold against the planner.
    private static bool IsWorthTelling(CableRun run, LimitMargin margin) =>
        margin.Kind != LimitKind.DeratedLength
        || run.Root.SelfAndBelow().Any(place => place.Incoming.Id == margin.ElementId && place.Incoming.Installation.IsTemperatureKnown);

    private static string CodeOf(LimitKind kind) => kind switch
    {
        LimitKind.CableTemperature => "cable-warmer-than-rated",
        LimitKind.BundleRise => "bundle-too-warm",
        LimitKind.DeratedLength => "length-derated",
        LimitKind.LoopResistance => "loop-above-standard",
        LimitKind.PassedOnClass => "class-not-passed-on",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Not a limit that people are only warned of."),
    };

    private static string Remedy(LimitKind kind) => kind switch
    {
        LimitKind.CableTemperature =>
            "Write what the cable is rated for ('rated-c') and how warm its surroundings are ('ambient-c'); split the bundle, or use cable rated higher.",
        LimitKind.BundleRise => "Split the bundle, lay the cables apart, or use thicker cable.",
        LimitKind.DeratedLength => "Shorten the cable, lay it cooler, or use screened cable ('screened: yes'): data may suffer on hot days before power does.",
        LimitKind.LoopResistance => "Look for a bad contact, a thin cord or a thin cable: the run is fed, but equipment need not work over such a loop.",
        _ => "Feed the extender or pass-through switch from a port of a higher class, or make sure that the device works within the lower class.",
    };

    private Written<string> PlaceOf(LimitMargin margin) => margin.Kind == LimitKind.PassedOnClass
        ? parts.WrittenCables[parts.SegmentByFed[margin.ElementId].Id].From!
        : _figures.CableLength(margin.ElementId);

    private void WarnOfDemotions(CableRun run, FlowNode? parent, FlowNode place)
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
            WarnOfDemotions(run, place, child);
        }
    }
}
