using System.Collections.Immutable;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Puts segments together to runs, each a tree below one PSE; finds loops.</summary>
internal sealed class CableRunBuilder(DesignParts parts)
{
    private readonly ILookup<string, CableSegment> _segmentsFrom = parts.SegmentByFed.Values.ToLookup(s => s.From.ElementId, StringComparer.Ordinal);

    // Stands in where the type is not known, which is reported at the device; such a run is never judged.
    private static readonly DeviceType UnknownType = new("", "", PoeClass.Class0, Power.Zero, ImmutableDictionary<string, Power>.Empty);

    public void Build()
    {
        FindLoops();
        foreach (var segment in parts.SegmentByFed.Values)
        {
            if (SourceOf(segment) is { } source)
            {
                var root = BuildNode(segment);
                var id = source.InjectorId ?? source.Port!.Value.ToString();
                parts.Runs.Add(new CableRun(id, source, root, PolesNearestFirst(root)));
            }
        }
    }

    private RunSource? SourceOf(CableSegment segment)
    {
        var from = segment.From;
        if (parts.Switches.TryGetValue(from.ElementId, out var pse))
        {
            var reference = new PsePortRef(from.ElementId, from.Group, from.Output);
            if (!pse.Ports.TryGetValue(reference, out var port))
            {
                port = PortDefaults.Plain(reference);
                parts.Switches[pse.Id] = pse with { Ports = pse.Ports.Add(reference, port) };
            }

            return new RunSource(port.Limit, port.Type, PortDefaults.NominalVolts(port.Type), reference, null) { GrantableClass = port.GrantableClass };
        }

        return parts.Injectors.TryGetValue(from.ElementId, out var injector)
            ? new RunSource(injector.Rating, injector.Type, injector.OutputVoltage, injector.AgentPort, injector.Id)
            : null;
    }

    // The depth is bounded by the number of elements: every element is fed once, and loops hang on no source.
    private FlowNode BuildNode(CableSegment incoming)
    {
        var id = incoming.To;
        var children = _segmentsFrom[id].OrderBy(s => s.From.Output).Select(BuildNode).ToImmutableArray();
        if (parts.Devices.TryGetValue(id, out var device))
        {
            return new FlowNode(FlowNodeKind.Device, id, device.PoleId, incoming, children)
            {
                Device = device,
                DeviceType = parts.DeviceTypes.GetValueOrDefault(device.TypeId) ?? UnknownType,
            };
        }

        if (parts.Extenders.TryGetValue(id, out var extender))
        {
            return new FlowNode(FlowNodeKind.Extender, id, extender.PoleId, incoming, children) { Extender = extender };
        }

        var passThrough = parts.PassThroughSwitches[id];
        return new FlowNode(FlowNodeKind.PassThroughSwitch, id, passThrough.PoleId, incoming, children) { PassThrough = passThrough };
    }

    private static ImmutableArray<string> PolesNearestFirst(FlowNode root)
    {
        var distances = new List<(string PoleId, double Meters)>();
        Measure(root, 0, distances);
        return [.. distances.OrderBy(d => d.Meters).Select(d => d.PoleId).Distinct(StringComparer.Ordinal)];
    }

    private static void Measure(FlowNode place, double metersBefore, List<(string PoleId, double Meters)> distances)
    {
        var meters = metersBefore + place.Incoming.Length.Meters;
        if (place.PoleId is not null)
        {
            distances.Add((place.PoleId, meters));
        }

        foreach (var child in place.Children)
        {
            Measure(child, meters, distances);
        }
    }

    private void FindLoops()
    {
        var settled = new HashSet<string>(StringComparer.Ordinal);
        foreach (var start in parts.SegmentByFed.Keys)
        {
            var path = new List<string>();
            var at = start;
            while (parts.SegmentByFed.TryGetValue(at, out var segment) && settled.Add(at))
            {
                path.Add(at);
                at = segment.From.ElementId;
            }

            var loopStart = path.IndexOf(at);
            if (loopStart >= 0)
            {
                ReportLoop(path[loopStart..]);
            }
        }
    }

    private void ReportLoop(List<string> members)
    {
        // Told where the last cable of the loop was written: the one that closes it.
        var closing = members.Select(m => parts.SegmentByFed[m]).OrderBy(s => parts.WrittenCables[s.Id].At.Line).Last();
        members.Reverse();
        parts.Problems.Error(
            "loop", parts.WrittenCables[closing.Id].At, closing.Id, string.Join(" > ", members.Append(members[0])),
            "These elements feed each other in a loop that no PSE feeds.",
            "Start the first cable of the chain at a switch port or an injector.");
    }
}
