using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>
/// Solves each run in each load case and says which limits the design itself breaks. Runs with a refused figure are passed over: the
/// figure is reported, and nothing can be said on a stand-in.
/// </summary>
internal sealed class CableRunPowerRules(DesignParts parts)
{
    private readonly LimitProblems _limits = new(parts);
    private readonly CableAdvice _advice = new(parts);

    public void Check()
    {
        foreach (var run in parts.Runs.Where(run => IsWhole(parts.Problems, run)))
        {
            CheckRun(run);
        }
    }

    /// <summary>True where no figure of the run was refused.</summary>
    public static bool IsWhole(ProblemList problems, CableRun run) =>
        !problems.IsTainted(run.Id)
        && run.Root.SelfAndBelow().All(place =>
            !problems.IsTainted(place.ElementId)
            && !problems.IsTainted(place.Incoming.Id)
            && !problems.IsTainted(place.Device?.TypeId ?? place.ElementId));

    private void CheckRun(CableRun run)
    {
        var expected = Solve(run, OperatingMode.Expected);
        var broken = Broken(run, expected);
        if (broken.Count > 0 && PortOf(run)?.Upgrade is { } upgrade)
        {
            var later = Broken(Upgraded(run, upgrade), Solve(Upgraded(run, upgrade), OperatingMode.Expected));
            if (later.Count == 0)
            {
                _limits.WarnOfUpgrade(run, upgrade, broken[0]);
                return;
            }

            broken = later; // Not even the upgrade helps.
        }

        foreach (var limit in broken)
        {
            _limits.Report(run, limit);
        }

        if (broken.Count == 0)
        {
            _advice.Warn(run, expected);
            foreach (var limit in Broken(run, Solve(run, OperatingMode.Guaranteed)).Take(1))
            {
                _limits.WarnNotGuaranteed(run, limit);
            }
        }
    }

    /// <summary>Limits broken in any load case, each once with the case that breaks it most.</summary>
    private List<BrokenLimit> Broken(CableRun run, List<SolvedCase> solved)
    {
        var worst = new Dictionary<(string Code, string ElementId), BrokenLimit>();
        foreach (var (loadCase, flow) in solved)
        {
            foreach (var margin in flow.Broken)
            {
                var key = (_limits.CodeOf(run, margin), _limits.ElementOf(run, margin));
                if (!worst.TryGetValue(key, out var known) || Beyond(margin) > Beyond(known.Margin))
                {
                    worst[key] = new BrokenLimit(margin, loadCase);
                }
            }
        }

        // Where a source is too small, volts and amperes say nothing yet: a larger one also feeds over more pairs.
        var isTooSmall = worst.Values.Any(limit => LimitProblems.IsOfSource(limit.Margin.Kind));
        return [.. worst.Values.Where(limit => !isTooSmall || !LimitProblems.IsElectrical(limit.Margin.Kind))];
    }

    private List<SolvedCase> Solve(CableRun run, OperatingMode mode) =>
    [
        .. parts.LoadCases.SelectMany(
            loadCase => CaseDemands.Of(run, loadCase, parts.Schedules),
            (loadCase, demand) => new SolvedCase(loadCase, PowerFlowSolver.Solve(run, demand.AtDevices, mode))),
    ];

    private static double Beyond(LimitMargin margin) => Math.Abs(margin.Value - margin.LimitValue);

    private PsePort? PortOf(CableRun run) => run.Source is { Port: { } port, InjectorId: null } ? parts.Switches[port.PseId].Ports[port] : null;

    private CableRun Upgraded(CableRun run, PlannedUpgrade upgrade)
    {
        var type = PoeTables.TypeForOutput(upgrade.Limit);
        var first = run.Root.Incoming;
        var pairs = parts.WrittenCables[first.Id].Pairs is null && upgrade.Limit > PortDefaults.Limit ? 4 : first.Pairs;
        return run with
        {
            // The class granted by the port of today says nothing of the better one.
            Source = run.Source with { Limit = upgrade.Limit, Type = type, NominalVoltage = PortDefaults.NominalVolts(type), GrantableClass = null },
            Root = run.Root with { Incoming = first with { Pairs = pairs } },
        };
    }
}

/// <summary>A limit that the design breaks, with the load case that breaks it most.</summary>
internal sealed record BrokenLimit(LimitMargin Margin, LoadCase LoadCase);

/// <summary>A run solved in one load case.</summary>
internal sealed record SolvedCase(LoadCase LoadCase, PowerFlowResult Flow);
