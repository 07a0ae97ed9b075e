using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Simulator.World;

/// <summary>One output that feeds: a switch port, an injector's output or an output of a pass-through switch.</summary>
/// <param name="Limit">Watts at the output above which it trips.</param>
/// <param name="Type">Decides what a class is worth at the output.</param>
/// <param name="Label">What the port's interface is labelled with: the elements that hang on it, or empty.</param>
internal sealed record PsePortShape(PsePortRef Ref, Power Limit, PoeType Type, PoeClass GrantableClass, Criticality Criticality, string Label)
{
    /// <summary>The data side of an injector: linked up, but no PD.</summary>
    public bool IsDataSide { get; init; }

    /// <summary>VLAN of untagged frames: 1 where the design does not say (the default VLAN of IEEE 802.1Q).</summary>
    public int Vlan { get; init; } = 1;

    /// <summary>The device at the other end of its cable; null where something else or nothing is.</summary>
    public PoweredDevice? Device { get; init; }
}

/// <summary>Outputs that share one budget.</summary>
internal sealed record PseGroupShape(
    int Number, Power Budget, Power GuardBand, AllocationPolicy Allocation, ImmutableArray<Supply> Supplies, ImmutableArray<PsePortShape> Ports)
{
    /// <summary>What the box itself takes out of its supplies.</summary>
    public Power OwnDraw { get; init; }

    /// <summary>Ports that it starts at once after an outage; null: all together.</summary>
    public int? StartsAtOnce { get; init; }

    public TimeSpan StartInterval { get; init; }
}

/// <summary>Everything that feeds, seen alike: switches, injectors (with or without an agent), pass-through switches.</summary>
internal sealed record PseShape(string ElementId, string Name, ImmutableArray<PseGroupShape> Groups)
{
    /// <summary>True of a pass-through switch: it is fed over its uplink and meters what arrives.</summary>
    public bool HasUplinkPower { get; init; }

    // Boxes come with these port counts; a design need list only the ports it uses.
    private static readonly int[] BoxSizes = [8, 16, 24, 48];

    /// <summary>All that feeds in a design, by element id.</summary>
    public static IEnumerable<PseShape> AllOf(DesignModel design) =>
        design.Switches.Values.Select(pse => OfSwitch(pse, design))
            .Concat(design.Injectors.Values.Select(injector => OfInjector(injector, design)))
            .Concat(design.PassThroughSwitches.Values.Select(pass => OfPassThrough(pass, design)));

    /// <summary>The output that feeds a run; an injector without an agent counts as its own port 1/1.</summary>
    public static PsePortRef FeedOf(CableRun run) => run.Source.Port ?? new PsePortRef(run.Source.InjectorId!, 1, 1);

    private static PseShape OfSwitch(PseSwitch pse, DesignModel design)
    {
        var groups = pse.Groups.Values.Select(group =>
        {
            var designed = pse.Ports.Values.Where(port => port.Ref.Group == group.Number).ToDictionary(port => port.Ref.Port);
            var highest = designed.Keys.Append(1).Max();
            var size = group.PortCount ?? BoxSizes.FirstOrDefault(boxSize => boxSize >= highest, highest);
            var ports = Enumerable.Range(1, size).Select(number => designed.TryGetValue(number, out var port)
                ? new PsePortShape(port.Ref, port.Limit, port.Type, port.GrantableClass, Known(port.Criticality), LabelOf(port.Ref, design))
                {
                    IsDataSide = design.DataSidePorts.ContainsKey(port.Ref),
                    Device = DeviceAt(port.Ref, design),
                    Vlan = port.Vlan ?? 1,
                }
                : Undesigned(new PsePortRef(pse.Id, group.Number, number), design));
            return new PseGroupShape(group.Number, group.Budget, group.GuardBand, group.Allocation, group.Supplies, [.. ports])
            {
                OwnDraw = group.OwnDraw,
                StartsAtOnce = group.StartsAtOnce,
                StartInterval = group.StartInterval,
            };
        });
        return new PseShape(pse.Id, pse.Name, [.. groups]);
    }

    private static PseShape OfInjector(Injector injector, DesignModel design)
    {
        var output = injector.AgentPort ?? new PsePortRef(injector.Id, 1, 1);
        var grant = PoeTables.HighestGrantable(injector.Rating, injector.Type) ?? GrantWithin(injector.Rating);
        var port = new PsePortShape(output, injector.Rating, injector.Type, grant, Criticality.Critical, LabelOf(output, design))
        {
            Device = DeviceAt(output, design),
        };
        var group = new PseGroupShape(output.Group, injector.Rating, Power.Zero, AllocationPolicy.ByDraw, [], [port]);
        return new PseShape(injector.Id, injector.Name, [group]);
    }

    private static PseShape OfPassThrough(PassThroughSwitch pass, DesignModel design)
    {
        var grant = GrantWithin(pass.OutputLimit);
        var ports = Enumerable.Range(1, pass.OutputCount).Select(number =>
        {
            var output = new PsePortRef(pass.Id, 1, number);
            return new PsePortShape(output, pass.OutputLimit, PoeTables.TypeForOutput(pass.OutputLimit), grant, Criticality.Low, LabelOf(output, design))
            {
                Device = DeviceAt(output, design),
            };
        });
        var group = new PseGroupShape(1, pass.TotalLimit, Power.Zero, AllocationPolicy.ByDraw, [], [.. ports]);
        return new PseShape(pass.Id, pass.Name, [group]) { HasUplinkPower = true };
    }

    private static PsePortShape Undesigned(PsePortRef port, DesignModel design) =>
        new(port, PoeTables.LimitsOf(PoeClass.Class4, PoeType.Type2).PseMinimumOutput, PoeType.Type2, PoeClass.Class4, Criticality.Low, "")
        {
            IsDataSide = design.DataSidePorts.ContainsKey(port),
        };

    private static PoeClass GrantWithin(Power limit) =>
        PoeTables.HighestGrantable(limit, PoeTables.TypeForOutput(limit)) ?? PoeClass.Class1;

    private static Criticality Known(Criticality designed) => designed == Criticality.Unknown ? Criticality.Low : designed;

    private static string LabelOf(PsePortRef output, DesignModel design)
    {
        if (design.DataSidePorts.TryGetValue(output, out var injectorId))
        {
            return injectorId;
        }

        return string.Join(", ", Behind(output, design).Select(place => place.ElementId));
    }

    private static PoweredDevice? DeviceAt(PsePortRef output, DesignModel design) => Behind(output, design).FirstOrDefault()?.Device;

    private static IEnumerable<FlowNode> Behind(PsePortRef output, DesignModel design) =>
        design.CableRuns.Values.SelectMany(run => run.Root.SelfAndBelow()).Where(place => place.Incoming.From is var from
            && from.ElementId == output.PseId && from.Group == output.Group && from.Output == output.Port);
}
