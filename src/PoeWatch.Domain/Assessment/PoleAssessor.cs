using System.Collections.Frozen;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>Poles by their runs.</summary>
internal static class PoleAssessor
{
    public static PoleAssessment Assess(AssessmentScope scope, string poleId, FrozenDictionary<string, RunAssessment> assessed)
    {
        var design = scope.Design;
        var served = design.CableRunsByPole.TryGetValue(poleId, out var found) ? found : [];
        var runs = served.Select(run => assessed[run.Id]).ToList();
        if (runs.Count == 0)
        {
            return new PoleAssessment(poleId, KnownPower.Nothing, null, false, false, null, null, HeadroomGrade.Unmetered);
        }

        return new PoleAssessment(
            poleId,
            runs.Aggregate(new KnownPower(Power.Zero, Provenance.Off), (sum, run) => sum + run.DrawAtPse),
            runs.Any(run => run.DesignDemandNow is null) ? null : Power.FromWatts(runs.Sum(run => run.DesignDemandNow!.Value.Watts)),
            IsShared: runs.Any(run => run.PoleIds.Length > 1),
            HasUnmetered: runs.Any(run => run.IsUnmetered),
            runs.MinBy(run => run.Headroom.Watts),
            served.Min(run => run.Source.Port is { } port ? scope.LastAnswerAt(port.PseId) : null),
            runs.Max(run => run.Grade));
    }
}
