using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>
/// Holds the newest readings against the design. Pure and thread safe: the same design, readings and moment give the same assessment. What each
/// number means is written in docs/headroom.md.
/// </summary>
public static class SiteAssessor
{
    /// <param name="analysis">Of the design in force; built once for it.</param>
    /// <param name="snapshot">
    /// Newest readings; those of elements that the design does not have are passed over. Its moment decides which readings are too old and which load
    /// cases count.
    /// </param>
    /// <param name="conditions">What is known of the conditions at that moment; null: only what sun and climate say.</param>
    /// <param name="upsReadings">Newest reading of each UPS that is asked; those of another design are passed over.</param>
    public static SiteAssessment Assess(
        DesignAnalysis analysis, NetworkSnapshot snapshot, SiteConditions? conditions = null, IEnumerable<UpsReading>? upsReadings = null)
    {
        ArgumentNullException.ThrowIfNull(analysis);
        ArgumentNullException.ThrowIfNull(snapshot);
        var known = conditions ?? ConditionReckoner.Reckon(analysis.Design, snapshot.At, [], []);
        var outlook = analysis.Calendar.At(snapshot.At, known);
        var scope = new AssessmentScope(analysis, snapshot, outlook);
        var design = analysis.Design;
        var runs = design.CableRuns.Values.ToFrozenDictionary(run => run.Id, run => RunAssessor.Assess(scope, run), StringComparer.Ordinal);
        ImmutableArray<GroupAssessment> groups = [.. GroupAssessor.Assess(scope)];
        return new SiteAssessment(
            snapshot.At,
            design.Hash,
            analysis.Ports.Keys.Union(scope.ReadPorts).ToFrozenDictionary(port => port, port => PortAssessor.Assess(scope, port)),
            groups,
            runs,
            design.Poles.Keys.ToFrozenDictionary(pole => pole, pole => PoleAssessor.Assess(scope, pole, runs), StringComparer.Ordinal),
            design.Agents.Keys.ToFrozenDictionary(id => id, id => AgentAssessor.Assess(scope, id), StringComparer.Ordinal))
        {
            Conditions = known,
            Outlook = outlook,
            Demands = new DemandOutlook(analysis, outlook),
            UpsUnits = [.. UpsAssessor.Assess(scope, groups, upsReadings ?? [])],
        };
    }
}
