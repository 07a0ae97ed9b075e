using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>PSE groups, and the outputs of managed pass-through switches together, against their budgets.</summary>
internal static class GroupAssessor
{
    public static IEnumerable<GroupAssessment> Assess(AssessmentScope scope)
    {
        var design = scope.Design;
        foreach (var pse in design.Switches.Values.OrderBy(s => s.Id, StringComparer.Ordinal))
        {
            foreach (var group in pse.Groups.Values)
            {
                var assessed = Assess(scope, pse.Id, group.Number, group.Budget, group.GuardBand);
                yield return assessed with
                {
                    Account = GroupAccountAssessor.Assess(scope, scope.Analysis.Groups[(pse.Id, group.Number)], assessed.Budget, assessed.Draw),
                };
            }
        }

        foreach (var passThrough in design.PassThroughSwitches.Values.Where(p => p.Agent is not null).OrderBy(p => p.Id, StringComparer.Ordinal))
        {
            yield return Assess(scope, passThrough.Id, 1, passThrough.TotalLimit, Power.Zero);
        }
    }

    private static GroupAssessment Assess(AssessmentScope scope, string pseId, int number, Power designed, Power guardBand)
    {
        var reading = scope.Reading(pseId);
        var told = reading?.Groups.FirstOrDefault(g => g.Group == number);
        var budget = told?.Budget is { Watts: > 0 } reported ? Power.Min(designed, reported) : designed;
        var draw = Draw(scope, reading, told, number);
        var headroom = draw.Watts is { } watts ? budget - guardBand - watts : (Power?)null;
        var grade = headroom is not { } left ? HeadroomGrade.Unknown
            : draw.Provenance.IsDraw() ? Grading.Of(left, budget, scope.Design.Headroom.AtGroup, HeadroomGrade.Ample)
            : HeadroomGrade.Bounded;
        return new GroupAssessment(pseId, number, draw, budget, Demand(scope, pseId, number), headroom, grade)
        {
            Designed = designed,
            Reported = told?.Budget,
            IsOn = told?.IsOn,
        };
    }

    /// <summary>What the agent says of the group where that is a draw; else the sum of its ports, which is only as good as the weakest of them.</summary>
    private static KnownPower Draw(AssessmentScope scope, SwitchReading? reading, GroupReading? told, int number)
    {
        if (told is { DrawAtPse: { } watts } && told.Provenance.IsDraw())
        {
            return new KnownPower(watts, told.Provenance);
        }

        var ports = (reading?.Ports ?? []).Where(p => p.Port.Group == number).ToList();
        return ports.Count == 0
            ? KnownPower.Nothing
            : ports.Aggregate(new KnownPower(Power.Zero, Provenance.Off), (sum, port) => sum + scope.DrawAtPse(port.Port));
    }

    /// <summary>Of the load cases in force the one that asks most of the whole group. Outputs of a pass-through switch stand on one run: there all is added up.</summary>
    private static Power Demand(AssessmentScope scope, string pseId, int number)
    {
        if (scope.Analysis.Groups.TryGetValue((pseId, number), out var group))
        {
            return scope.InForce.Max(i => group.DemandByCase[i]);
        }

        var fed = scope.Analysis.PortsOf(pseId, number);
        return scope.InForce.Max(i => Power.FromWatts(fed.Sum(p => (p.Demand([i]) ?? p.Limit).Watts)));
    }
}
