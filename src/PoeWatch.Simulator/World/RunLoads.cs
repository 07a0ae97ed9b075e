using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Faults;

namespace PoeWatch.Simulator.World;

/// <summary>What one run would draw at every output along it, for given device draws. Pure.</summary>
internal static class RunLoads
{
    /// <summary>The tree without the places that <paramref name="isCut"/> says are cut off; null where nothing is left.</summary>
    public static FlowNode? Prune(FlowNode place, Func<FlowNode, bool> isCut) => isCut(place)
        ? null
        : place with
        {
            Children = [.. place.Children.Select(child => Prune(child, isCut)).OfType<FlowNode>()],
        };

    /// <summary>The tree as it stands now: without what is unplugged, with the ohms that its joints have gained. The same one where nothing is wrong.</summary>
    public static FlowNode? AsItStands(FlowNode root, FaultState faults, TimeSpan now)
    {
        var plugged = faults.Unplugged.IsEmpty ? root : Prune(root, place => faults.Unplugged.Contains(place.ElementId));
        return plugged is null || faults.Joints.IsEmpty ? plugged : WithJoints(plugged, faults, now);
    }

    private static FlowNode WithJoints(FlowNode place, FaultState faults, TimeSpan now) => place with
    {
        Incoming = faults.Joints.TryGetValue(place.Incoming.Id, out var joint) ? WithMore(place.Incoming, joint.At(now)) : place.Incoming,
        Children = [.. place.Children.Select(child => WithJoints(child, faults, now))],
    };

    // Two conductors side by side over four pairs: each has to gain twice as much for the loop to gain it. A tester measures one pair, there and back.
    private static CableSegment WithMore(CableSegment segment, Resistance loop)
    {
        var conductor = loop * (segment.Pairs == 4 ? 2.0 : 1.0);
        var installation = segment.Installation;
        return segment with
        {
            MeasuredLoop = segment.MeasuredLoop is { } measured ? measured + (conductor * 2.0) : null,
            Installation = installation with { CordConductor = installation.CordConductor + conductor },
        };
    }

    /// <summary>Solves a run whose tree is <paramref name="root"/>, at nominal voltage.</summary>
    public static PowerFlowResult Solve(CableRun run, FlowNode root, Func<PoweredDevice, Power> drawOf)
    {
        var pruned = ReferenceEquals(root, run.Root) ? run : run with { Root = root };
        var draws = pruned.Devices.ToDictionary(device => device.Id, device => Power.Max(drawOf(device), Power.Zero));
        return PowerFlowSolver.Solve(pruned, draws, OperatingMode.Expected);
    }

    /// <summary>Watts out of the output that feeds a place: what arrives and what the segment heats. Null where it cannot be fed.</summary>
    public static Power? IntoSegmentOf(FlowNode place, PowerFlowResult flow) =>
        flow.Outcome == FlowOutcome.Solved && flow.Points.TryGetValue(place.ElementId, out var point)
            ? point.DrawAtInput + point.SegmentLoss
            : null;

    /// <summary>The output that feeds a place below the root.</summary>
    public static PsePortRef OutputFeeding(FlowNode place) =>
        new(place.Incoming.From.ElementId, place.Incoming.From.Group, place.Incoming.From.Output);

    /// <summary>Class that a place asks its output for.</summary>
    public static PoeClass RequestedClass(FlowNode place, DesignModel design, FaultState faults) => place switch
    {
        { Device: { } device } => faults.AskedClasses.TryGetValue(device.Id, out var asked)
            ? asked
            : design.DeviceTypes[faults.TypeIn(device)].RequestedClass,
        { Extender: { } extender } => ClassFor(extender.InputLimit),
        { PassThrough: { } pass } => ClassFor(pass.InputLimit),
        _ => PoeClass.Class0,
    };

    // The lowest class that lets a PD take that much; what takes more than class 8 allows asks for class 8.
    private static PoeClass ClassFor(Power inputLimit)
    {
        for (var candidate = PoeClass.Class1; candidate < PoeClass.Class8; candidate++)
        {
            if (PoeTables.LimitsOf(candidate, PoeClause.Clause145).PdMaximumInput >= inputLimit)
            {
                return candidate;
            }
        }

        return PoeClass.Class8;
    }
}
