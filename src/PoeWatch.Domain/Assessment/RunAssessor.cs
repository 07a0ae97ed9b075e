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

        var worst = scope.CanStillCome.Select(i => cases[i]).MinBy(c => (c.Extra.Watts, -(c.DrawAtPse ?? Power.Zero)))!;
        var (worstCaseId, extra) = (worst.Case.Id, worst.Extra);
        if (excess > Power.Zero)
        {
            var solved = WorstLoadCase.For(
                scope.Design, run, scope.CanStillCome.Select(i => scope.Analysis.Cases[i]), DesignAnalysis.Mode, run.FarEnd.ElementId, excess * now.PdShare);
            (worstCaseId, extra) = (solved.Case.Id, solved.Extra);
        }

        return new RunAssessment(
            run.Id,
            run.PoleIds,
            draw,
            now.DrawAtPse,
            cases.First(c => c.Case.Id == worstCaseId).DrawAtPse,
            worstCaseId,
            extra,
            IsAtLeast: !draw.Provenance.IsDraw(),
            run.IsUnmetered,
            excess,
            Grade(scope.Design.Headroom.AtRun, run, draw, extra));
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
