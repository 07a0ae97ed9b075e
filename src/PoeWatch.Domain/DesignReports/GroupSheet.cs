using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Makes the sheets of switches and their PSE groups.</summary>
internal static class GroupSheet
{
    private static readonly ImmutableArray<AllocationPolicy> s_policies = [AllocationPolicy.ByClass, AllocationPolicy.ByDraw, AllocationPolicy.ByLimit];

    internal static ImmutableArray<ReportSwitch> SwitchesOf(DesignModel design, ImmutableArray<ReportCableRun> runs, DemandPlan demands)
    {
        var sheets = runs.ToDictionary(run => run.CableRunId, StringComparer.Ordinal);
        FedRun? Behind(PsePortRef port) =>
            design.CableRunByPort.TryGetValue(port, out var run) && run.Source.InjectorId is null ? new FedRun(run, sheets[run.Id]) : null;
        return
        [
            .. design.Switches.Values.OrderBy(pse => pse.Id, StringComparer.Ordinal).Select(pse => new ReportSwitch(
                pse.Id,
                pse.Name,
                ReportNames.OfPole(design, pse.PoleId),
                SiteSheet.CasesOf(demands.Switches[pse.Id]),
                demands.Switches[pse.Id].Worst.Case.Id,
                [.. pse.Groups.Values.Select(group => Of(
                    design, group, demands.Group(pse.Id, group.Number), [.. pse.Ports.Values.Where(port => port.Ref.Group == group.Number).Select(port => new PortSheet(port, Behind(port.Ref), demands))]))])),
        ];
    }

    /// <summary>The switch whose port feeds a run, with that group only; none where an injector feeds it.</summary>
    internal static ImmutableArray<ReportSwitch> Feeding(ImmutableArray<ReportSwitch> switches, string cableRunId) =>
    [
        .. switches
            .Select(pse => pse with { Groups = [.. pse.Groups.Where(sheet => sheet.Ports.Any(port => port.Port == cableRunId))] })
            .Where(pse => !pse.Groups.IsEmpty),
    ];

    private static ReportGroup Of(DesignModel design, PseGroup set, GroupDemand demand, ImmutableArray<PortSheet> ports)
    {
        var pseId = demand.PseId;
        ImmutableArray<PortSheet> fed = [.. ports.Where(port => port.Behind is not null)];
        var usable = GroupLimits.Usable(set);
        ImmutableArray<GroupCase> sums =
        [
            .. demand.Demand.ByCase.Select(c => new GroupCase(c.Case.Id, c.Case.Name, c.Watts.Watts, (usable - c.Watts).Watts)),
        ];
        var worst = demand.Demand.Worst;
        var worstAt = demand.Demand.ByCase.IndexOf(worst);
        var supplies = set.Supplies.IsDefault ? [] : set.Supplies;
        // By draw the group sets aside what it draws as a whole: not all ports are at their most at one moment.
        Power Reserved(AllocationPolicy policy) =>
            policy == AllocationPolicy.ByDraw ? worst.Watts : fed.Aggregate(Power.Zero, (sum, port) => sum + port.Reserve(policy, worstAt));
        var margins = GroupLimits.Of(pseId, set, Reserved(set.Allocation), worst.Watts);
        return new ReportGroup(
            ReportNames.Group(pseId, set.Number),
            set.Number,
            set.Budget.Watts,
            set.GuardBand.Watts,
            usable.Watts,
            Kebab.Of(set.Allocation.ToString()),
            sums,
            worst.Case.Id,
            [
                .. from policy in s_policies
                   let reserve = Reserved(policy).Watts
                   select new GroupReserve(Kebab.Of(policy.ToString()), policy == set.Allocation, reserve, usable.Watts - reserve),
            ],
            [.. supplies.Select(supply => new ReportSupply(supply.Id, supply.Rating.Watts))],
            set.Redundancy.Name(),
            set.OwnDraw.Watts,
            supplies.IsEmpty ? null : SupplyPower.ForPorts(SupplyPower.Together(supplies), set.OwnDraw).Watts,
            supplies.IsEmpty ? null : SupplyPower.ForPorts(SupplyPower.AfterLossOf(1, supplies), set.OwnDraw).Watts,
            [.. margins.InOrder.Select(limit => ReportLimits.Of(limit == margins.AfterLoss && set.Redundancy != SupplyRedundancy.NPlusOne ? limit with { IsAdvice = true } : limit))],
            ShedOf(set, supplies, fed, worstAt),
            [.. demand.ColdStarts.Select(start => ColdStartOf(design, set, start))],
            ConflictsOf(fed),
            [.. ports.Select(port => port.Row(set.Allocation, worstAt))]);
    }

    /// <summary>What goes dark with the largest supply lost, in its order; empty where nothing does or fewer than two supplies are named.</summary>
    private static ImmutableArray<string> ShedOf(PseGroup set, ImmutableArray<Supply> supplies, ImmutableArray<PortSheet> fed, int worstAt)
    {
        if (supplies.Length < 2)
        {
            return [];
        }

        var plan = LoadShedding.Of(
            GroupLimits.UsableAfterLoss(set), fed.Select(port => new PowerRequest(port.Port.Ref.Port, port.Port.Criticality, port.Reserve(set.Allocation, worstAt))));
        var names = fed.ToDictionary(port => port.Port.Ref.Port, port => port.Port.Ref.ToString());
        return [.. plan.Dropped.Select(request => names[request.Port])];
    }

    private static ReportColdStart ColdStartOf(DesignModel design, PseGroup set, GroupColdStart start) => new(
        start.Case.Id,
        start.Case.Name,
        design.LoadCases.Any(loadCase => loadCase.Id == start.Case.Id),
        start.Demand.WorstBoot.Watts.Watts,
        start.Demand.WorstInrush.Watts.Watts,
        ColdStart.SuppliesOf(set).Watts,
        start.Stages.Stages.Length,
        start.Stages.CannotStart,
        start.Stages.Sentence);

    /// <summary>By the priorities of the design itself: what a device needs may stand above the priority of the port that feeds it.</summary>
    private static ImmutableArray<PriorityConflict> ConflictsOf(ImmutableArray<PortSheet> fed)
    {
        var ports = fed.ToDictionary(port => port.Port.Ref.Port);
        return
        [
            .. LoadShedding.Inversions(
                    fed.Select(port => new PowerRequest(port.Port.Ref.Port, port.Port.Criticality, Power.Zero)),
                    ports.ToDictionary(port => port.Key, port => port.Value.MostCritical))
                .Select(c => new PriorityConflict(ports[c.DroppedPort].Port.Ref.ToString(), ports[c.KeptPort].Port.Ref.ToString())),
        ];
    }

    private sealed record FedRun(CableRun CableRun, ReportCableRun Sheet);

    /// <summary>A port with the run behind it, if any.</summary>
    private sealed record PortSheet(PsePort Port, FedRun? Behind, DemandPlan Demands)
    {
        public Criticality MostCritical => Behind is null ? Port.Criticality : FedPort.MostCritical(Port, Behind.CableRun);

        /// <summary>What a policy sets aside for a port that feeds something, with the designed demand in a load case as what flows.</summary>
        public Power Reserve(AllocationPolicy policy, int loadCase) => PortReserve.Of(
            policy, FedPort.Granted(Port, Behind!.CableRun), Port.Type, Port.Limit, Demands.CableRuns[Behind.CableRun.Id].ByCase[loadCase].Watts);

        public ReportPort Row(AllocationPolicy policy, int loadCase) => new(
            Port.Ref.ToString(),
            Port.Limit.Watts,
            ReportNames.Of(Port.Type),
            ReportNames.Of(Port.GrantableClass),
            Kebab.Of(Port.Criticality.ToString()),
            Kebab.Of(MostCritical.ToString()),
            Behind?.Sheet.Places[0].ElementId,
            Behind?.Sheet.LoadCases.Max(c => c.Expected.DemandAtPseW),
            Behind is null ? null : Reserve(policy, loadCase).Watts,
            Port.Upgrade?.Limit.Watts,
            Port.Upgrade?.Due);
    }
}
