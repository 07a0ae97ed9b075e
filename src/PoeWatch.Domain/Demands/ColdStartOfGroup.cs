using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Demands;

/// <summary>A cold start of a PSE group in one load case. Immutable.</summary>
/// <param name="Demand">As the switch starts its ports by the design.</param>
/// <param name="Stages">As it could start them within its budget and supplies.</param>
public sealed record GroupColdStart(LoadCase Case, ColdStartDemand Demand, ColdStartPlan Stages);

/// <summary>The cold start of a designed PSE group. Pure and thread safe.</summary>
public static class ColdStartOfGroup
{
    private const double NominalVolts = 54;

    /// <param name="runs">Runs that the group's ports feed.</param>
    /// <param name="loadCase">A case with the condition of a cold start: its other conditions hold while everything starts.</param>
    public static GroupColdStart Of(
        PseSwitch pse, PseGroup group, IEnumerable<CableRun> runs, LoadCase loadCase, IReadOnlyCollection<PortSchedule> schedules,
        OperatingMode mode = OperatingMode.Expected)
    {
        ArgumentNullException.ThrowIfNull(pse);
        ArgumentNullException.ThrowIfNull(group);
        ArgumentNullException.ThrowIfNull(loadCase);
        var after = loadCase with { Conditions = loadCase.Conditions.Remove(LoadCondition.ColdStart) };
        ImmutableArray<StartingPort> ports =
        [
            .. runs.Where(run => !CaseDemands.IsOff(run, loadCase, schedules)).Select(run => Port(pse, run, loadCase, after, new RunDemandSolver(run, schedules, mode))),
        ];
        var volts = ports.IsEmpty ? Voltage.FromVolts(NominalVolts) : ports.Select(port => port.Source).Max();
        return new GroupColdStart(
            loadCase,
            StaggeredStart.Of(ports, group.StartsAtOnce, group.StartInterval),
            ColdStart.Of(group, volts, ports.Select(port => new StartDemand(port.Port, port.Criticality, port.Assigned, port.Boot, port.After))));
    }

    /// <summary>The load cases of a design that are cold starts; where it has none, the standard one.</summary>
    public static ImmutableArray<LoadCase> CasesOf(IEnumerable<LoadCase> cases)
    {
        ImmutableArray<LoadCase> found = [.. cases.Where(IsColdStart)];
        return found.IsEmpty ? [.. StandardLoadCases.All.Where(IsColdStart)] : found;
    }

    public static bool IsColdStart(LoadCase loadCase)
    {
        ArgumentNullException.ThrowIfNull(loadCase);
        return loadCase.Conditions.Contains(LoadCondition.ColdStart);
    }

    private static StartingPort Port(PseSwitch pse, CableRun run, LoadCase loadCase, LoadCase after, RunDemandSolver solver)
    {
        var port = pse.Ports[run.Source.Port!.Value];
        var assigned = FedPort.Granted(port, run) ?? port.GrantableClass;
        var lasts = run.Root.SelfAndBelow().Select(place => place.DeviceType?.Physical?.BootLasts ?? TimeSpan.Zero).Max();
        return new StartingPort(
            port.Ref.Port, port.Criticality, assigned, run.Source.NominalVoltage,
            solver.Simultaneous(loadCase).Worst, lasts, solver.Simultaneous(after).Worst);
    }
}
