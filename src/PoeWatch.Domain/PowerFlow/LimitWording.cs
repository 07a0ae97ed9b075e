using System.Globalization;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Turns a limit in bare numbers into one with its place and its source, and puts it into words for a technician.</summary>
internal static class LimitWording
{
    internal static LimitMargin ToMargin(FlowTree tree, in LimitCheck check) =>
        new(check.Kind, ElementOf(tree, check), check.Limit, check.Value, UnitOf(check.Kind), LimitSources.Of(tree, check))
        {
            IsBroken = check.IsBroken(tree.Mode),
            IsAdvice = check.IsAdvice,
            At = new LimitPlace(tree, check.Place, check.Output),
        };

    /// <summary>The limit that a collapse is: what the loads of the run together ask for against what they could get.</summary>
    internal static LimitMargin Collapse(FlowState state, double mostWatts, double askedWatts, bool isBroken)
    {
        var place = state.Tree.Place(state.CollapsedAt);
        var carries = $"Segment {place.Incoming.Id} to {place.ElementId} ({Number(state.Tree.LawOf(state.CollapsedAt).OhmsAt(0.0))} ohm)";
        var sentence = isBroken
            ? $"{carries} cannot carry what hangs behind it: the devices of the run ask for {Number(askedWatts)} W together, "
                + $"at {Number(mostWatts)} W the voltage collapses."
            : $"{carries}: the voltage collapses at {Number(mostWatts)} W for all devices of the run together, they ask for {Number(askedWatts)} W.";
        return new LimitMargin(LimitKind.VoltageCollapse, place.Incoming.Id, mostWatts, askedWatts, "W", "circuit law: no more than V²/4R over a loop")
        {
            IsBroken = isBroken,
            Sentence = sentence,
        };
    }

    internal static string Sentence(LimitMargin limit, LimitPlace at)
    {
        var isFloor = limit.Kind == LimitKind.PdVoltage;
        var margin = Math.Max(0.0, isFloor ? limit.Value - limit.LimitValue : limit.LimitValue - limit.Value);
        var bound = isFloor ? "at least" : "at most";
        var verdict = limit.IsBroken
            ? $"{Number(Math.Abs(limit.Value - limit.LimitValue))} {limit.Unit} too {(isFloor ? "little" : "much")}"
            : $"{Number(margin)} {limit.Unit} left";
        return $"{Subject(limit, at)} {Number(limit.Value)} {limit.Unit}, {bound} {Number(limit.LimitValue)} {limit.Unit}: {verdict}.";
    }

    private static string Subject(LimitMargin limit, LimitPlace at)
    {
        var place = at.Tree.Place(at.Place);
        var output = at.Output > 0 ? string.Create(CultureInfo.InvariantCulture, $"output {at.Output}") : "a free output";
        return limit.Kind switch
        {
            LimitKind.PsePort => $"Port {limit.ElementId} would give",
            LimitKind.InjectorRating => $"Injector {limit.ElementId} would give",
            LimitKind.ExtenderInput => $"Extender {place.ElementId} would take",
            LimitKind.ExtenderOutput => $"Extender {place.ElementId} at {output} would give",
            LimitKind.PassThroughInput => $"Pass-through switch {place.ElementId} would take",
            LimitKind.PassThroughOutput => $"Pass-through switch {place.ElementId} at {output} would give",
            LimitKind.PassThroughTotal => $"Pass-through switch {place.ElementId} at all outputs together would give",
            LimitKind.OutputCount => $"{Noun(place.Kind)} {place.ElementId} would feed",
            LimitKind.PdClass => $"Device {place.ElementId} of class {(int)place.DeviceType!.RequestedClass} would take",
            LimitKind.PdVoltage => $"{Noun(place.Kind)} {place.ElementId} would get",
            LimitKind.ExtendedPower =>
                $"Device {place.ElementId} of class {(int)place.DeviceType!.RequestedClass}, which knows its channel, would draw at what feeds it",
            LimitKind.GrantableClass => Granted(at, place),
            LimitKind.PassedOnClass => PassedOn(at, place),
            _ => OfSegment(limit.Kind, place),
        };
    }

    private static string OfSegment(LimitKind kind, FlowNode place)
    {
        var segment = $"{place.Incoming.Id} to {place.ElementId}";
        var bundle = place.Incoming.Installation.BundledCables > 0 ? " and its bundle's heat" : "";
        return kind switch
        {
            LimitKind.PairCurrent => $"Segment {segment} on {place.Incoming.Pairs} pairs would carry",
            LimitKind.PairsetCurrent => $"Segment {segment} on the fuller of its two pairsets would carry",
            LimitKind.SegmentLength => $"Segment {segment} has a length of",
            LimitKind.DeratedLength =>
                $"Segment {segment}, through which data reaches less far at {Number(place.Incoming.Conductor.Celsius)} °C{bundle}, has a length of",
            LimitKind.LoopResistance => $"Segment {segment} on {place.Incoming.Pairs} pairs has a loop of",
            LimitKind.BundleRise => $"Segment {segment} in its bundle would be warmer than its surroundings by",
            LimitKind.CableTemperature => $"Segment {segment} would have conductors of",
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Not a limit of a run."),
        };
    }

    private static string Granted(LimitPlace at, FlowNode place)
    {
        var parent = at.Tree.ParentNode(at.Place);
        var (asked, granted) = ((int)place.DeviceType!.RequestedClass, (int)ClassOnTheWay.GrantedTo(at.Tree.Run, parent, place)!.Value);
        return $"Device {place.ElementId} asks for class {asked}, {parent?.ElementId ?? at.Tree.Run.Id} grants up to class {granted}: it would take";
    }

    private static string PassedOn(LimitPlace at, FlowNode place)
    {
        var (asked, handedOn) = ((int)place.DeviceType!.RequestedClass, (int)ClassOnTheWay.HandedOnBy(at.Tree, at.Tree.ParentOf(at.Place))!.Value);
        return $"Device {place.ElementId} asks for class {asked}, what {at.Tree.ParentNode(at.Place)!.ElementId} is granted itself lets it hand on class {handedOn}: "
            + "the device would take";
    }

    private static string Noun(FlowNodeKind kind) => kind switch
    {
        FlowNodeKind.Extender => "Extender",
        FlowNodeKind.PassThroughSwitch => "Pass-through switch",
        _ => "Device",
    };

    private static string ElementOf(FlowTree tree, in LimitCheck check) => check.Kind switch
    {
        LimitKind.PsePort => tree.PortName,
        LimitKind.InjectorRating => tree.Run.Source.InjectorId!,
        LimitKind.PairCurrent or LimitKind.PairsetCurrent or LimitKind.SegmentLength or LimitKind.DeratedLength or LimitKind.LoopResistance
            or LimitKind.CableTemperature or LimitKind.BundleRise => tree.Place(check.Place).Incoming.Id,
        _ => tree.Place(check.Place).ElementId,
    };

    private static string UnitOf(LimitKind kind) => kind switch
    {
        LimitKind.PdVoltage => "V",
        LimitKind.PairCurrent or LimitKind.PairsetCurrent => "A",
        LimitKind.SegmentLength or LimitKind.DeratedLength => "m",
        LimitKind.LoopResistance => "ohm",
        LimitKind.CableTemperature or LimitKind.BundleRise => "°C",
        LimitKind.OutputCount => "outputs",
        _ => "W",
    };

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
