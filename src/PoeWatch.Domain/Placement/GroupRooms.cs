using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Placement;

/// <summary>
/// What budgets and supplies of all PSE groups of a design leave in each load case. Built once for a design and a set of live excesses: it solves every run in
/// every load case. Immutable and thread safe.
/// </summary>
/// <remarks>
/// All ports together count with what is to be expected (designed or measured resistance, nominal volts): that every cable of a group is at the standard's worst
/// at once would leave budgets unused for nothing. N+1 counts only where the design says that the group is N+1.
/// </remarks>
public sealed class GroupRooms
{
    private readonly FrozenDictionary<(string PseId, int Group), ImmutableArray<Slack>> _slack;
    private readonly FrozenDictionary<string, int> _cases;

    private GroupRooms(FrozenDictionary<(string PseId, int Group), ImmutableArray<Slack>> slack, FrozenDictionary<string, int> cases) =>
        (_slack, _cases) = (slack, cases);

    /// <param name="excessByRun">What runs draw above their design, at the PSE, by run id; 0 or more.</param>
    public static GroupRooms Of(DesignModel design, IReadOnlyDictionary<string, Power>? excessByRun = null)
    {
        ArgumentNullException.ThrowIfNull(design);
        var cases = DesignDemands.CasesOf(design);
        var runs = design.CableRuns.Values.Where(run => run.Source is { InjectorId: null, Port: not null })
            .ToLookup(run => (run.Source.Port!.Value.PseId, run.Source.Port.Value.Group));
        return new GroupRooms(
            design.Switches.Values.SelectMany(pse => pse.Groups.Values, (pse, group) => (pse, group)).ToFrozenDictionary(
                at => (at.pse.Id, at.group.Number),
                at => cases.Select(loadCase => SlackOf(design, at.pse, at.group, [.. runs[(at.pse.Id, at.group.Number)]], loadCase, excessByRun)).ToImmutableArray()),
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
        DesignModel design, PseSwitch pse, PseGroup group, ImmutableArray<CableRun> runs, LoadCase loadCase, IReadOnlyDictionary<string, Power>? excessByRun)
    {
        var (draw, reserved) = (Power.Zero, Power.Zero);
        foreach (var run in runs)
        {
            var own = DrawOf(design, run, loadCase) + (excessByRun?.GetValueOrDefault(run.Id) ?? Power.Zero);
            draw += own;
            reserved += Reserve(pse.Ports[run.Source.Port!.Value], group.Allocation, run, own);
        }

        // A port that is fed already sets nothing more aside when its load grows, but all of them together still draw from one budget.
        var onRuns = GroupLimits.Of(pse.Id, group with { Allocation = AllocationPolicy.ByDraw }, draw, draw).Binding;
        var setAside = GroupLimits.Of(pse.Id, group, Power.Max(reserved, group.Allocation == AllocationPolicy.ByDraw ? draw : Power.Zero), draw).Binding;
        var tighter = Margin(setAside) < Margin(onRuns) ? setAside : onRuns;
        return new Slack(loadCase.Id, new GroupSlack(Margin(onRuns), onRuns), new GroupSlack(Margin(tighter), tighter));
    }

    private static Power DrawOf(DesignModel design, CableRun run, LoadCase loadCase)
    {
        var demand = run.Devices.ToDictionary(d => d.Id, d => DesignDemands.Of(design.DeviceTypes[d.TypeId], loadCase), StringComparer.Ordinal);
        return Power.Min(PowerFlowSolver.Solve(run, demand, OperatingMode.Expected).DrawAtPse ?? run.Source.Limit, run.Source.Limit);
    }

    private static Power Reserve(PsePort port, AllocationPolicy policy, CableRun run, Power draw)
    {
        PoeClass? granted = run.Root.DeviceType is { } type ? (PoeClass)Math.Min((int)type.RequestedClass, (int)port.GrantableClass) : null;
        return PortReserve.Of(policy, granted, port.Type, port.Limit, draw);
    }

    private static Power Margin(LimitMargin limit) => Power.FromWatts(limit.LimitValue - limit.Value);

    private sealed record Slack(string LoadCaseId, GroupSlack OnRuns, GroupSlack OnFreePort);
}

/// <summary>Watts at the PSE that a group leaves, and the limit that ends them.</summary>
internal sealed record GroupSlack(Power Watts, LimitMargin Binding);
