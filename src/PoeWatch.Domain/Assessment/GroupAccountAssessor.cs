using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>What a group has set aside, which limit binds, and whom it would drop.</summary>
internal static class GroupAccountAssessor
{
    /// <param name="capacity">The lower of the designed and the reported budget.</param>
    /// <param name="draw">Of the whole group.</param>
    public static GroupAccount Assess(AssessmentScope scope, GroupDesign design, Power capacity, KnownPower draw)
    {
        var group = design.Group with { Budget = capacity };
        var fed = (scope.Reading(design.Pse.Id)?.Ports ?? []).Where(p => p.Port.Group == group.Number).ToList();
        var delivering = fed.Where(p => p.State == PortState.Delivering)
            .ToDictionary(p => p.Port.Port, p => design.PortAt(p.Port).Reserve(group.Allocation, p.AssignedClass, DrawOf(scope, p)));
        var reserved = Power.FromWatts(delivering.Values.Sum(r => r.Watts));
        var allocated = fed.Count == 0 || fed.Exists(p => p.State == PortState.Unknown)
            ? KnownPower.Nothing
            : new KnownPower(reserved, HowKnown(scope, group.Allocation, fed));
        var worst = scope.Outlook.Season.MaxBy(i => design.DemandByCase[i]);
        return new GroupAccount(
            group.Allocation,
            group.GuardBand,
            allocated,
            allocated.Watts is { } setAside ? GroupLimits.Usable(group) - setAside : null,
            draw.Watts is { } watts && allocated.Watts is not null ? GroupLimits.Of(design.Pse.Id, group, Known(group.Allocation, reserved, watts), watts) : null,
            ByDesign(scope, design, worst),
            Shedding(design, group, fed, delivering, worst));
    }

    // By draw the PSE counts what its own meter of the group says, which may differ by rounding from the sum of its ports.
    private static Power Known(AllocationPolicy policy, Power reserved, Power draw) => policy == AllocationPolicy.ByDraw ? Power.Max(reserved, draw) : reserved;

    private static Power? DrawOf(AssessmentScope scope, PortReading port)
    {
        var draw = scope.DrawAtPse(port.Port);
        return draw.Provenance.IsDraw() ? draw.Watts : null;
    }

    /// <summary>By draw as well as the draws are, a ceiling where one is not known; by class a ceiling; by limit a figure of the design.</summary>
    private static Provenance HowKnown(AssessmentScope scope, AllocationPolicy policy, IEnumerable<PortReading> fed) => policy switch
    {
        AllocationPolicy.ByDraw => fed.Where(p => p.State == PortState.Delivering).Select(p => scope.DrawAtPse(p.Port).Provenance)
            .Select(p => p.IsDraw() ? p : Provenance.ClassBound).Aggregate(Provenance.Off, ProvenanceRules.Sum),
        AllocationPolicy.ByClass => Provenance.ClassBound,
        _ => Provenance.Design,
    };

    private static GroupByDesign ByDesign(AssessmentScope scope, GroupDesign design, int worst)
    {
        var allocated = design.AllocatedByDesign(worst);
        var demand = design.DemandByCase[worst];
        return new GroupByDesign(
            scope.Analysis.Cases[worst].Id, demand, allocated, design.Requested, GroupLimits.Of(design.Pse.Id, design.Group, allocated, demand), design.Demand.ColdStarts);
    }

    private static GroupShedding Shedding(
        GroupDesign design, PseGroup group, List<PortReading> fed, Dictionary<int, Power> delivering, int worst)
    {
        var readings = fed.ToDictionary(p => p.Port.Port);
        var ports = delivering.Keys.Union(design.Ports.Values.Where(p => p.IsFeeding).Select(p => p.Port.Ref.Port)).Select(number =>
        {
            var port = design.PortAt(new PsePortRef(design.Pse.Id, group.Number, number));
            var read = readings.GetValueOrDefault(number)?.Priority ?? Criticality.Unknown;
            return new ShedPort(
                number,
                read == Criticality.Unknown ? port.Port.Criticality : read,
                read != Criticality.Unknown,
                port.Needed,
                delivering.TryGetValue(number, out var reserve) ? reserve : port.ReserveByDesign(group.Allocation, worst),
                delivering.ContainsKey(number));
        }).ToList();
        var byPort = ports.ToDictionary(p => p.Port);
        var order = PowerSharing.InOrder(ports.Select(p => p.Request)).Reverse().Select(r => byPort[r.Port]).ToImmutableArray();
        var designed = ports.ToDictionary(p => p.Port, p => p.Designed);
        Power? left = group.Supplies.IsDefaultOrEmpty ? null : GroupLimits.UsableAfterLoss(group);
        var now = left is { } usable ? LoadShedding.Of(usable, order.Where(p => p.IsFed).Select(p => p.Request)) : null;
        var later = left is { } then
            ? LoadShedding.Of(then, order.Where(p => design.Ports.ContainsKey(p.Port))
                .Select(p => p.Request with { Reserve = design.Ports[p.Port].ReserveByDesign(group.Allocation, worst) }))
            : null;
        ImmutableArray<ShedConflict> conflicts =
        [
            .. new[] { now, later }.OfType<ShedPlan>().SelectMany(plan => LoadShedding.Conflicts(plan, designed)).DistinctBy(c => c.DroppedPort),
        ];
        return new GroupShedding(
            order, left, now, later, LoadShedding.Inversions(order.Where(p => p.IsPriorityRead).Select(p => p.Request), designed), conflicts);
    }
}
