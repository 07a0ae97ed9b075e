using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Makes the sheet of one run.</summary>
internal static class CableRunSheet
{
    internal static ReportCableRun Of(DesignModel design, CableRun run, ImmutableArray<LoadCase> cases)
    {
        SolvedCase[] solved = [.. cases.Select(loadCase => new SolvedCase(
            loadCase,
            WorstLoadCase.For(design, run, [loadCase], OperatingMode.Expected),
            WorstLoadCase.For(design, run, [loadCase], OperatingMode.Guaranteed)))];
        var worst = solved.MinBy(c => (c.Guaranteed.Extra.Watts, c.Expected.Extra.Watts, -(c.Guaranteed.Flow.DrawAtPse?.Watts ?? 0.0)))!;
        return new ReportCableRun(
            run.Id,
            [.. run.PoleIds.Select(id => ReportNames.OfPole(design, id) ?? id)],
            SourceOf(design, run),
            worst.Case.Id,
            worst.Case.Name,
            RunPlaces.Of(design, run, worst.Expected.Flow, worst.Guaranteed.Flow),
            run.FarEnd.ElementId,
            FiguresOf(run, worst.Expected),
            FiguresOf(run, worst.Guaranteed),
            [.. solved.Select(c => new ReportRunCase(
                c.Case.Id, c.Case.Name, c.Expected.Demand.Values.Sum(p => p.Watts), CaseOf(c.Expected), CaseOf(c.Guaranteed)))]);
    }

    private static ReportSource SourceOf(DesignModel design, CableRun run)
    {
        var source = run.Source;
        var injector = source.InjectorId is { } id ? design.Injectors[id] : null;
        return new ReportSource(
            injector is null ? "switch-port" : "injector",
            injector?.Id ?? source.Port?.ToString() ?? run.Id,
            injector?.Name ?? (source.Port is { } at && design.Switches.TryGetValue(at.PseId, out var named) ? named.Name : run.Id),
            source.Limit.Watts,
            ReportNames.Of(source.Type),
            ClassOnTheWay.GrantedTo(run, null, run.Root) is { } highest ? ReportNames.Of(highest) : null,
            FeedVolts(run, OperatingMode.Expected),
            FeedVolts(run, OperatingMode.Guaranteed),
            run.IsUnmetered);
    }

    private static double FeedVolts(CableRun run, OperatingMode mode) => new FlowTree(run, mode).FixedFeedVolts(0) ?? run.Source.NominalVoltage.Volts;

    private static RunFigures FiguresOf(CableRun run, WorstLoadCase solved)
    {
        var limits = ReportLimits.ClosestFirst(solved.Flow.Limits, solved.Extra.Binding);
        return new RunFigures(
            solved.Flow.Outcome == FlowOutcome.Solved, solved.Flow.Reason, RunPlaces.BalanceOf(run, solved.Flow), solved.Extra.Watts.Watts, limits[0], limits);
    }

    private static CaseFigures CaseOf(WorstLoadCase solved) => new(
        solved.Flow.DrawAtPse?.Watts, solved.Flow.CableLoss?.Watts, solved.Extra.Watts.Watts, solved.Extra.Binding.Sentence, solved.Flow.Broken.Count());

    private sealed record SolvedCase(LoadCase Case, WorstLoadCase Expected, WorstLoadCase Guaranteed);
}
