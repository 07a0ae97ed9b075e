using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Turns a limit in bare numbers into one with its place, its source and a sentence for a technician.</summary>
internal static class LimitWording
{
    private const string Plate = "limit given in the design";

    internal static LimitMargin ToMargin(FlowTree tree, LimitCheck check)
    {
        var unit = UnitOf(check.Kind);
        var isBroken = check.IsBroken(tree.Mode);
        return new LimitMargin(check.Kind, ElementOf(tree, check), check.Limit, check.Value, unit, SourceOf(tree, check))
        {
            IsBroken = isBroken,
            Sentence = Sentence(tree, check, unit, isBroken),
        };
    }

    /// <summary>The limit that a collapse is: what the loads of the run together ask for against what they could get.</summary>
    internal static LimitMargin Collapse(FlowTree tree, int place, double mostWatts, double askedWatts, bool isBroken)
    {
        var segment = tree.Place(place).Incoming;
        var carries = $"Segment {segment.Id} to {tree.Place(place).ElementId} ({Number(tree.Ohms(place))} ohm)";
        var sentence = isBroken
            ? $"{carries} cannot carry what hangs behind it: the devices of the run ask for {Number(askedWatts)} W together, "
                + $"at {Number(mostWatts)} W the voltage collapses."
            : $"{carries}: the voltage collapses at {Number(mostWatts)} W for all devices of the run together, they ask for {Number(askedWatts)} W.";
        return new LimitMargin(LimitKind.VoltageCollapse, segment.Id, mostWatts, askedWatts, "W", "circuit law: no more than V²/4R over a loop")
        {
            IsBroken = isBroken,
            Sentence = sentence,
        };
    }

    private static string Sentence(FlowTree tree, LimitCheck check, string unit, bool isBroken)
    {
        var margin = Math.Max(0.0, check.IsFloor ? check.Value - check.Limit : check.Limit - check.Value);
        var bound = check.IsFloor ? "at least" : "at most";
        var verdict = isBroken
            ? $"{Number(Math.Abs(check.Value - check.Limit))} {unit} too {(check.IsFloor ? "little" : "much")}"
            : $"{Number(margin)} {unit} left";
        return $"{Subject(tree, check)} {Number(check.Value)} {unit}, {bound} {Number(check.Limit)} {unit}: {verdict}.";
    }

    private static string Subject(FlowTree tree, LimitCheck check)
    {
        var place = tree.Place(check.Place);
        var output = check.Output > 0 ? string.Create(CultureInfo.InvariantCulture, $"output {check.Output}") : "a free output";
        return check.Kind switch
        {
            LimitKind.PsePort => $"Port {ElementOf(tree, check)} would give",
            LimitKind.InjectorRating => $"Injector {ElementOf(tree, check)} would give",
            LimitKind.ExtenderInput => $"Extender {place.ElementId} would take",
            LimitKind.ExtenderOutput => $"Extender {place.ElementId} at {output} would give",
            LimitKind.PassThroughInput => $"Pass-through switch {place.ElementId} would take",
            LimitKind.PassThroughOutput => $"Pass-through switch {place.ElementId} at {output} would give",
            LimitKind.PassThroughTotal => $"Pass-through switch {place.ElementId} at all outputs together would give",
            LimitKind.PdClass => $"Device {place.ElementId} of class {(int)place.DeviceType!.RequestedClass} would take",
            LimitKind.PdVoltage => $"{Noun(place.Kind)} {place.ElementId} would get",
            LimitKind.PairCurrent => $"Segment {place.Incoming.Id} to {place.ElementId} on {place.Incoming.Pairs} pairs would carry",
            LimitKind.SegmentLength => $"Segment {place.Incoming.Id} to {place.ElementId} has a length of",
            _ => throw new ArgumentOutOfRangeException(nameof(check), check.Kind, "Not a limit of a run."),
        };
    }

    private static string Noun(FlowNodeKind kind) => kind switch
    {
        FlowNodeKind.Extender => "Extender",
        FlowNodeKind.PassThroughSwitch => "Pass-through switch",
        _ => "Device",
    };

    private static string ElementOf(FlowTree tree, LimitCheck check) => check.Kind switch
    {
        LimitKind.PsePort => tree.Run.Source.Port?.ToString() ?? tree.Run.Id,
        LimitKind.InjectorRating => tree.Run.Source.InjectorId!,
        LimitKind.PairCurrent or LimitKind.SegmentLength => tree.Place(check.Place).Incoming.Id,
        _ => tree.Place(check.Place).ElementId,
    };

    private static string UnitOf(LimitKind kind) => kind switch
    {
        LimitKind.PdVoltage => "V",
        LimitKind.PairCurrent => "A",
        LimitKind.SegmentLength => "m",
        _ => "W",
    };

    private static string SourceOf(FlowTree tree, LimitCheck check)
    {
        var feed = PoeTables.LimitsOf(tree.FeedOf(check.Place));
        var type = tree.Place(check.Place).DeviceType;
        return check.Kind switch
        {
            LimitKind.PsePort or LimitKind.InjectorRating when check.Limit < tree.Run.Source.Limit.Watts => feed!.Value.Source,
            LimitKind.PdClass => PoeTables.LimitsOf(type!.RequestedClass, tree.FeedOf(check.Place)).Source,
            LimitKind.PdVoltage => (type is null ? feed : PoeTables.LimitsOf(PoeTables.PdTypeOf(type.RequestedClass)))!.Value.Source,
            LimitKind.PairCurrent => feed!.Value.Source,
            LimitKind.SegmentLength => "channel of ISO/IEC 11801 and ANSI/TIA-568: 90 m of cable and 10 m of cords",
            _ => Plate,
        };
    }

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
