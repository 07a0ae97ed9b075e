using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>Runs against their design: what the far end can still take, with the live excess on top of the worst load case that can still come.</summary>
internal static class RunAssessor
{
    // Below the finest step that agents count in (1 mW) an excess is arithmetic, not watts.
    private static readonly Power s_leastExcess = Power.FromMilliwatts(1);

    public static RunAssessment Assess(AssessmentScope scope, CableRun run)
    {
        var cases = scope.Analysis.CableRuns[run.Id];
        var now = scope.HeaviestNow(cases);
        var draw = run.Source.Port is { } port ? scope.DrawAtPse(port) : KnownPower.Nothing;
        var excess = draw.Provenance.IsDraw() && draw.Watts is { } watts && now.DrawAtPse is { } designed && watts - designed >= s_leastExcess
            ? watts - designed
            : Power.Zero;

        var added = excess * now.PdShare;
        var worst = Worst(scope, run, cases, scope.Outlook.Season, added);
        var today = scope.Outlook.Today.SequenceEqual(scope.Outlook.Season) ? worst : Worst(scope, run, cases, scope.Outlook.Today, added);
        return new RunAssessment(
            run.Id,
            run.PoleIds,
            draw,
            now.DrawAtPse,
            worst.DesignDemand,
            worst.LoadCaseId,
            worst.Headroom,
            IsAtLeast: !draw.Provenance.IsDraw(),
            run.IsUnmetered,
            excess,
            Grade(scope.Design.Headroom.AtRun, run, draw, worst.Headroom))
        {
            WorstToday = today,
        };
    }

    private static WorstOfRun Worst(AssessmentScope scope, CableRun run, ImmutableArray<RunCase> cases, ImmutableArray<int> among, Power excess)
    {
        if (excess == Power.Zero)
        {
            var worst = among.Select(i => cases[i]).MinBy(c => (c.Extra.Watts, -(c.DrawAtPse ?? Power.Zero)))!;
            return new WorstOfRun(worst.Case.Id, worst.DrawAtPse, worst.Extra);
        }

        var solved = WorstLoadCase.For(
            scope.Design, run, among.Select(i => scope.Analysis.Cases[i]), DesignAnalysis.Mode, run.FarEnd.ElementId, excess);
        return new WorstOfRun(solved.Case.Id, cases.First(c => c.Case.Id == solved.Case.Id).DrawAtPse, solved.Extra);
    }

    private static HeadroomGrade Grade(HeadroomLevels levels, CableRun run, KnownPower draw, ExtraWatts extra)
    {
        var otherwise = run.IsUnmetered ? HeadroomGrade.Unmetered
            : draw.Provenance == Provenance.Unknown ? HeadroomGrade.Unknown
            : draw.Provenance.IsDraw() ? HeadroomGrade.Ample
            : HeadroomGrade.Bounded;
        return otherwise == HeadroomGrade.Unknown ? HeadroomGrade.Unknown
            : extra.Binding.IsBroken ? HeadroomGrade.Over
            : Grading.Of(extra.Watts, run.Source.Limit, levels, otherwise);
    }
}
