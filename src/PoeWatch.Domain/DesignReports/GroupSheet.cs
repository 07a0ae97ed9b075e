using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Makes the sheets of switches and their PSE groups.</summary>
internal static class GroupSheet
{
    private static readonly ImmutableArray<AllocationPolicy> s_policies = [AllocationPolicy.ByClass, AllocationPolicy.ByDraw, AllocationPolicy.ByLimit];

    internal static ImmutableArray<ReportSwitch> SwitchesOf(DesignModel design, ImmutableArray<ReportCableRun> runs, ImmutableArray<LoadCase> cases)
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
                [.. pse.Groups.Values.Select(group => Of(
                    pse.Id, group, cases, [.. pse.Ports.Values.Where(port => port.Ref.Group == group.Number).Select(port => new PortSheet(port, Behind(port.Ref)))]))])),
        ];
    }

    /// <summary>The switch whose port feeds a run, with that group only; none where an injector feeds it.</summary>
    internal static ImmutableArray<ReportSwitch> Feeding(ImmutableArray<ReportSwitch> switches, string cableRunId) =>
    [
        .. switches
            .Select(pse => pse with { Groups = [.. pse.Groups.Where(sheet => sheet.Ports.Any(port => port.Port == cableRunId))] })
            .Where(pse => !pse.Groups.IsEmpty),
    ];

    private static ReportGroup Of(string pseId, PseGroup set, ImmutableArray<LoadCase> cases, ImmutableArray<PortSheet> ports)
    {
        ImmutableArray<PortSheet> fed = [.. ports.Where(port => port.Behind is not null)];
        var usable = GroupLimits.Usable(set);
        ImmutableArray<GroupCase> sums =
        [
            .. from pair in cases.Select((loadCase, at) => (loadCase, at))
               let demand = fed.Sum(port => port.DemandWatts(pair.at))
               select new GroupCase(pair.loadCase.Id, pair.loadCase.Name, demand, usable.Watts - demand),
        ];
        var worstAt = sums.IndexOf(sums.MaxBy(sum => sum.DemandAtPseW)!);
        var worst = sums[worstAt];
        var supplies = set.Supplies.IsDefault ? [] : set.Supplies;
        var reserved = fed.Aggregate(Power.Zero, (sum, port) => sum + port.Reserve(set.Allocation, worstAt));
        var margins = GroupLimits.Of(pseId, set, reserved, Power.FromWatts(worst.DemandAtPseW));
        return new ReportGroup(
            ReportNames.Group(pseId, set.Number),
            set.Number,
            set.Budget.Watts,
            set.GuardBand.Watts,
            usable.Watts,
            ReportNames.Kebab(set.Allocation.ToString()),
            sums,
            worst.LoadCaseId,
            [
                .. from policy in s_policies
                   let reserve = fed.Sum(port => port.Reserve(policy, worstAt).Watts)
                   select new GroupReserve(ReportNames.Kebab(policy.ToString()), policy == set.Allocation, reserve, usable.Watts - reserve),
            ],
            [.. supplies.Select(supply => new ReportSupply(supply.Id, supply.Rating.Watts))],
            ReportNames.Kebab(set.Redundancy.ToString()),
            set.OwnDraw.Watts,
            supplies.IsEmpty ? null : SupplyPower.ForPorts(SupplyPower.Together(supplies), set.OwnDraw).Watts,
            supplies.IsEmpty ? null : SupplyPower.ForPorts(SupplyPower.AfterLossOf(1, supplies), set.OwnDraw).Watts,
            [.. margins.InOrder.Select(limit => ReportLimits.Of(limit == margins.AfterLoss && set.Redundancy != SupplyRedundancy.NPlusOne ? limit with { IsAdvice = true } : limit))],
            ShedOf(set, supplies, fed, worstAt),
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

    private sealed record FedRun(CableRun CableRun, ReportCableRun Sheet);

    /// <summary>A port with the run behind it, if any.</summary>
    private sealed record PortSheet(PsePort Port, FedRun? Behind)
    {
        public double DemandWatts(int loadCase) => SiteSheet.AtPse(Behind!.Sheet, Behind.Sheet.LoadCases[loadCase].Expected);

        /// <summary>What a policy sets aside for a port that feeds something, with the designed demand in a load case as what flows.</summary>
        public Power Reserve(AllocationPolicy policy, int loadCase)
        {
            var requested = Behind!.CableRun.Root.DeviceType?.RequestedClass;
            PoeClass? assigned = requested is { } asked && asked > Port.GrantableClass ? Port.GrantableClass : requested;
            return PortReserve.Of(policy, assigned, Port.Type, Port.Limit, Power.FromWatts(DemandWatts(loadCase)));
        }

        public ReportPort Row(AllocationPolicy policy, int loadCase) => new(
            Port.Ref.ToString(),
            Port.Limit.Watts,
            ReportNames.Of(Port.Type),
            ReportNames.Of(Port.GrantableClass),
            ReportNames.Kebab(Port.Criticality.ToString()),
            Behind?.Sheet.Places[0].ElementId,
            Behind?.Sheet.LoadCases.Max(c => c.Expected.DemandAtPseW),
            Behind is null ? null : Reserve(policy, loadCase).Watts,
            Port.Upgrade?.Limit.Watts,
            Port.Upgrade?.Due);
    }
}
