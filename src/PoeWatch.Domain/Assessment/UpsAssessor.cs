using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>How long each UPS would last now, and in the worst load case that can still come.</summary>
internal static class UpsAssessor
{
    public static IEnumerable<UpsAssessment> Assess(AssessmentScope scope, IReadOnlyCollection<GroupAssessment> groups, IEnumerable<UpsReading> readings)
    {
        var byId = readings.ToDictionary(reading => reading.UpsId, StringComparer.Ordinal);

        // A reading of an earlier design's agent says nothing of a UPS that has none now.
        return scope.Design.UpsUnits.Values.Select(ups => Assess(scope, ups, groups) with { Reading = ups.Agent is null ? null : byId.GetValueOrDefault(ups.Id) });
    }

    private static UpsAssessment Assess(AssessmentScope scope, Ups ups, IReadOnlyCollection<GroupAssessment> groups)
    {
        var behind = ups.SwitchIds.SelectMany(id => scope.Design.Switches[id].Groups.Values.Select(group => scope.Analysis.Groups[(id, group.Number)])).ToList();
        var draws = behind.Select(d => groups.First(g => g.PseId == d.Pse.Id && g.Group == d.Group.Number).Draw).ToList();
        var known = draws.Aggregate(new KnownPower(Power.Zero, Provenance.Off), static (sum, draw) => sum + draw);
        Power? load = known.Watts is null ? null : UpsLoad.Of(ups, behind.Zip(draws, (d, draw) => (d.Group, draw.Watts!.Value)));
        Power LoadIn(int loadCase) => UpsLoad.Of(ups, behind.Select(d => (d.Group, d.DemandByCase[loadCase])));
        var worst = scope.Outlook.Season.MaxBy(i => LoadIn(i));
        return new UpsAssessment(
            ups.Id,
            ups.SwitchIds,
            load is null ? KnownPower.Nothing : new KnownPower(load, known.Provenance),
            load is { } now ? UpsLoad.Runtime(ups, now) : null,
            scope.Analysis.Cases[worst].Id,
            LoadIn(worst),
            UpsLoad.Runtime(ups, LoadIn(worst)),
            ups.WantedRuntime);
    }
}
