using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Placement;

/// <summary>
/// What budgets and supplies of all PSE groups of a design leave in each load case. Built once for a design and a set of live excesses: it solves every run in
/// every load case. Immutable and thread safe.
/// </summary>
/// <remarks>
/// All ports together count as <see cref="DemandPlan"/> adds them up, with what is to be expected (designed or measured resistance, nominal volts): that every cable of
/// a group is at the standard's worst at once would leave budgets unused for nothing. N+1 counts only where the design says that the group is N+1.
/// </remarks>
public sealed class GroupRooms
{
    private readonly FrozenDictionary<(string PseId, int Group), ImmutableArray<Slack>> _slack;
    private readonly FrozenDictionary<string, int> _cases;

    private GroupRooms(FrozenDictionary<(string PseId, int Group), ImmutableArray<Slack>> slack, FrozenDictionary<string, int> cases) =>
        (_slack, _cases) = (slack, cases);

    /// <param name="excessByRun">What runs draw above their design, at the PSE, by run id; 0 or more.</param>
    /// <param name="demands">Of the same design; worked out here where not given.</param>
    public static GroupRooms Of(DesignModel design, IReadOnlyDictionary<string, Power>? excessByRun = null, DemandPlan? demands = null)
    {
        ArgumentNullException.ThrowIfNull(design);
        var plan = demands ?? DemandPlan.Of(design);
        var cases = plan.Cases;
        var runs = design.CableRuns.Values.Where(run => run.Source is { InjectorId: null, Port: not null })
            .ToLookup(run => (run.Source.Port!.Value.PseId, run.Source.Port.Value.Group));
        return new GroupRooms(
            design.Switches.Values.SelectMany(pse => pse.Groups.Values, (pse, group) => (pse, group)).ToFrozenDictionary(
                at => (at.pse.Id, at.group.Number),
                at => Enumerable.Range(0, cases.Length)
                    .Select(i => SlackOf(plan, at.pse, at.group, [.. runs[(at.pse.Id, at.group.Number)]], i, excessByRun)).ToImmutableArray()),
            cases.Select((loadCase, i) => (loadCase.Id, i)).ToFrozenDictionary(p => p.Id, p => p.i, StringComparer.Ordinal));
    }

    /// <summary>The load case that leaves least of a group; null where the design has no such group.</summary>
    public GroupRoom? Worst(string pseId, int group)
    {
        if (!_slack.TryGetValue((pseId, group), out var byCase))
        {
            return null;
        }

        var worst = byCase.MinBy(slack => (slack.OnFreePort.Watts, slack.OnRuns.Watts))!;
        return new GroupRoom(
            pseId, group, worst.LoadCaseId, worst.OnRuns.Watts, worst.OnRuns.Binding, worst.OnFreePort.Watts, worst.OnFreePort.Binding);
    }

    /// <summary>What the group of a run leaves in a load case; null where an injector feeds the run.</summary>
    internal GroupSlack? On(CableRun run, LoadCase loadCase) =>
        run.Source is { InjectorId: null, Port: { } port } && _slack.TryGetValue((port.PseId, port.Group), out var byCase)
            ? byCase[_cases[loadCase.Id]].OnRuns
            : null;

    private static Slack SlackOf(
        DemandPlan plan, PseSwitch pse, PseGroup group, ImmutableArray<CableRun> runs, int loadCase, IReadOnlyDictionary<string, Power>? excessByRun)
    {
        var (draw, reserved) = (plan.Group(pse.Id, group.Number).Demand.ByCase[loadCase].Watts, Power.Zero);
        foreach (var run in runs)
        {
            var excess = excessByRun?.GetValueOrDefault(run.Id) ?? Power.Zero;
            draw += excess;
            var port = pse.Ports[run.Source.Port!.Value];
            reserved += PortReserve.Of(
                group.Allocation, FedPort.Granted(port, run), port.Type, port.Limit, plan.CableRuns[run.Id].ByCase[loadCase].Watts + excess);
        }

        // A port that is fed already sets nothing more aside when its load grows, but all of them together still draw from one budget.
        var onRuns = GroupLimits.Of(pse.Id, group with { Allocation = AllocationPolicy.ByDraw }, draw, draw).Binding;
        var setAside = GroupLimits.Of(pse.Id, group, group.Allocation == AllocationPolicy.ByDraw ? draw : reserved, draw).Binding;
        var tighter = Margin(setAside) < Margin(onRuns) ? setAside : onRuns;
        return new Slack(plan.Cases[loadCase].Id, new GroupSlack(Margin(onRuns), onRuns), new GroupSlack(Margin(tighter), tighter));
    }

    private static Power Margin(LimitMargin limit) => Power.FromWatts(limit.LimitValue - limit.Value);

    private sealed record Slack(string LoadCaseId, GroupSlack OnRuns, GroupSlack OnFreePort);
}

/// <summary>Watts at the PSE that a group leaves, and the limit that ends them.</summary>
internal sealed record GroupSlack(Power Watts, LimitMargin Binding);
