using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.World;

namespace PoeWatch.Simulator.Faults;

/// <summary>
/// What a demonstration shows of any design: after 15 s a device takes its port close to its limit, after 45 s another goes
/// dark; both end within five minutes, and a stranger comes and goes. Events that a small design has no room for are left out.
/// </summary>
public static class DemoScript
{
    /// <summary>Watts that are left at the port of the device that draws too much.</summary>
    private const double LeftAtPortWatts = 0.5;

    public static FaultScript For(DesignModel design)
    {
        var events = new List<ScriptedEvent>();
        var metered = design.CableRuns.Values.Where(run => run.Source.Port is not null).ToList();
        var strained = metered.Select(run => Strained(run, design)).FirstOrDefault(found => found is not null);
        if (strained is { } pressed)
        {
            events.Add(At(15, new DeviceDraws(pressed.DeviceId, pressed.Draw)));
            events.Add(At(150, new DeviceDraws(pressed.DeviceId, null)));
        }

        var dark = metered.LastOrDefault(run => run.Root.Kind == FlowNodeKind.Device && run.Root.ElementId != strained?.DeviceId);
        if (dark is not null)
        {
            events.Add(At(45, new ElementPlugged(dark.Root.ElementId, false)));
            events.Add(At(240, new ElementPlugged(dark.Root.ElementId, true)));
        }

        if (FreePort(design) is { } free)
        {
            events.Add(At(330, new StrangerOnPort(free, new Stranger(Power.FromWatts(5.5), PoeClass.Class2))));
            events.Add(At(480, new StrangerOnPort(free, null)));
        }

        return new FaultScript(events);
    }

    // The port must be allowed to give all its limit: a PD that asks for a lower class trips before anybody sees it near the limit.
    private static (string DeviceId, Power Draw)? Strained(CableRun run, DesignModel design)
    {
        if (!design.Switches.TryGetValue(run.Source.Port!.Value.PseId, out var pse)
            || !pse.Ports.TryGetValue(run.Source.Port.Value, out var port)
            || RunLoads.RequestedClass(run.Root, design) < port.GrantableClass
            || run.Root.SelfAndBelow().Any(place => place.Kind == FlowNodeKind.PassThroughSwitch)
            || run.Devices.FirstOrDefault() is not { } device)
        {
            return null;
        }

        var low = 0.0;
        var high = port.Limit.Watts;
        for (var halving = 0; halving < 40; halving++)
        {
            var middle = (low + high) / 2;
            var flow = RunLoads.Solve(run, run.Root, other => other.Id == device.Id
                ? Power.FromWatts(middle)
                : design.DeviceTypes[other.TypeId].Demand * 0.7);
            var isWithin = flow.DrawAtPse is { } draw && draw.Watts <= port.Limit.Watts - LeftAtPortWatts;
            (low, high) = isWithin ? (middle, high) : (low, middle);
        }

        return low > 1 ? (device.Id, Power.FromWatts(Math.Round(low, 1))) : null;
    }

    private static PsePortRef? FreePort(DesignModel design) => design.Switches.Keys.Order(StringComparer.Ordinal)
        .SelectMany(id => PseShape.AllOf(design).First(shape => shape.ElementId == id).Groups)
        .SelectMany(group => group.Ports)
        .Where(port => port is { Label: "", IsDataSide: false } && !design.CableRunByPort.ContainsKey(port.Ref))
        .Select(port => (PsePortRef?)port.Ref)
        .FirstOrDefault();

    private static ScriptedEvent At(double seconds, SimulatedEvent happening) => new(TimeSpan.FromSeconds(seconds), happening);
}
