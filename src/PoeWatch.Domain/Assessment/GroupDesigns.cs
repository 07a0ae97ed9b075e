using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Design.Validation;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>A port of a group as its budget sees it.</summary>
/// <param name="Needed">The most critical of the port and all that is designed behind it.</param>
/// <param name="Granted">Class that the design expects it to grant; null where nothing or no single device tells it.</param>
/// <param name="Requested">What stands behind it asks for by class, at the PSE; zero where nothing is designed.</param>
/// <param name="DemandByCase">In the order of the load cases; empty where nothing is designed.</param>
internal sealed record GroupPort(
    PsePort Port, Criticality Needed, PoeClass? Granted, Power Requested, ImmutableArray<Power> DemandByCase)
{
    public bool IsFeeding => !DemandByCase.IsEmpty;

    /// <summary>What the group sets aside for it where it draws so much, or where that is unknown.</summary>
    public Power Reserve(AllocationPolicy policy, PoeClass? assigned, Power? draw) =>
        PortReserve.Of(policy, Plain(assigned), Port.Type, Port.Limit, draw);

    public Power ReserveByDesign(AllocationPolicy policy, int loadCase) =>
        IsFeeding ? PortReserve.Of(policy, Granted, Port.Type, Port.Limit, DemandByCase[loadCase]) : Power.Zero;

    // RFC 3621 ends at class 4: on a port that can grant more, class 4 may hide classes 5 to 8, and what the design expects is the better guess.
    private PoeClass? Plain(PoeClass? assigned) =>
        assigned == PoeClass.Class4 && Port.GrantableClass > PoeClass.Class4 ? Granted is { } granted && granted >= PoeClass.Class4 ? granted : null : assigned;
}

/// <summary>A PSE group of a switch with all that only a new design changes.</summary>
internal sealed record GroupDesign(PseSwitch Pse, PseGroup Group, FrozenDictionary<int, GroupPort> Ports, GroupDemand Demand)
{
    /// <summary>Of the whole group, in the order of the load cases.</summary>
    public ImmutableArray<Power> DemandByCase { get; } = [.. Demand.Demand.ByCase.Select(c => c.Watts)];

    public Power Requested { get; } = Power.FromWatts(Ports.Values.Sum(p => p.Requested.Watts));

    /// <summary>What the group sets aside in its policy. By draw that is what the group draws as a whole: not all ports are at their most at one moment.</summary>
    public Power AllocatedByDesign(int loadCase) => Group.Allocation == AllocationPolicy.ByDraw
        ? DemandByCase[loadCase]
        : Power.FromWatts(Ports.Values.Sum(p => p.ReserveByDesign(Group.Allocation, loadCase).Watts));

    /// <summary>A port that the design does not list is a plain one.</summary>
    public GroupPort PortAt(PsePortRef port) =>
        Ports.TryGetValue(port.Port, out var known) ? known : new GroupPort(PortDefaults.Plain(port), Criticality.Low, null, Power.Zero, []);

    public static GroupDesign Of(DesignAnalysis analysis, PseSwitch pse, PseGroup group)
    {
        var fed = analysis.PortsOf(pse.Id, group.Number).ToDictionary(p => p.Port.Port);
        var ports = pse.Ports.Values.Where(p => p.Ref.Group == group.Number)
            .ToFrozenDictionary(p => p.Ref.Port, p => PortOf(analysis, p, fed.GetValueOrDefault(p.Ref.Port)));
        return new GroupDesign(pse, group, ports, analysis.Demands.Group(pse.Id, group.Number));
    }

    private static GroupPort PortOf(DesignAnalysis analysis, PsePort port, PortDesign? design)
    {
        if (design is not { Feeds: not null } || !analysis.Design.CableRunByPort.TryGetValue(port.Ref, out var run))
        {
            return new GroupPort(port, port.Criticality, null, Power.Zero, []);
        }

        var asked = run.Root.DeviceType?.RequestedClass;
        return new GroupPort(
            port, FedPort.MostCritical(port, run), FedPort.Granted(port, run), asked is { } requested ? PoeTables.LimitsOf(requested, port.Type).PseMinimumOutput : port.Limit,
            [.. Enumerable.Range(0, analysis.Cases.Length).Select(i => Power.Min(design.Demand([i]) ?? port.Limit, port.Limit))]);
    }
}
