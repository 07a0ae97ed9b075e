using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.TestKit.Design;

/// <summary>Follows cables from every PSE port and injector to the last PD and makes a run of each way.</summary>
internal static class DesignModelRuns
{
    public static ImmutableArray<CableRun> From(
        IReadOnlyList<CableSegment> segments,
        IReadOnlyDictionary<PsePortRef, PsePort> ports,
        IReadOnlyDictionary<string, Injector> injectors,
        IReadOnlyDictionary<string, Extender> extenders,
        IReadOnlyDictionary<string, PassThroughSwitch> passThroughs,
        IReadOnlyDictionary<string, PoweredDevice> devices,
        IReadOnlyDictionary<string, DeviceType> types)
    {
        var runs = ImmutableArray.CreateBuilder<CableRun>();
        foreach (var first in segments)
        {
            var from = new PsePortRef(first.From.ElementId, first.From.Group, first.From.Output);
            if (ports.TryGetValue(from, out var port))
            {
                var source = new RunSource(port.Limit, port.Type, Voltage.FromVolts(54), from, null);
                runs.Add(Run(from.ToString(), source, NodeAt(first)));
            }
            else if (injectors.TryGetValue(first.From.ElementId, out var injector))
            {
                var source = new RunSource(injector.Rating, injector.Type, injector.OutputVoltage, injector.AgentPort, injector.Id);
                runs.Add(Run(injector.Id, source, NodeAt(first)));
            }
        }

        return runs.ToImmutable();

        FlowNode NodeAt(CableSegment incoming)
        {
            ImmutableArray<FlowNode> children = [.. segments.Where(s => s.From.ElementId == incoming.To).Select(NodeAt)];
            if (devices.TryGetValue(incoming.To, out var device))
            {
                return new FlowNode(FlowNodeKind.Device, device.Id, device.PoleId, incoming, children) { Device = device, DeviceType = types[device.TypeId] };
            }

            if (extenders.TryGetValue(incoming.To, out var extender))
            {
                return new FlowNode(FlowNodeKind.Extender, extender.Id, extender.PoleId, incoming, children) { Extender = extender };
            }

            var passThrough = passThroughs[incoming.To];
            return new FlowNode(FlowNodeKind.PassThroughSwitch, passThrough.Id, passThrough.PoleId, incoming, children) { PassThrough = passThrough };
        }
    }

    private static CableRun Run(string id, RunSource source, FlowNode root) =>
        new(id, source, root, [.. root.SelfAndBelow().Where(n => n.PoleId is not null).Select(n => n.PoleId!).Distinct()]);
}
