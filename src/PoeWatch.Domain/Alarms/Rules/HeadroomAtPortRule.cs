using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// A port's draw comes too near its limit. Where the run that the port meters already has too little headroom that alarm says it all, and the port's own
/// is not raised beside it.
/// </summary>
internal static class HeadroomAtPortRule
{
    private const string NextSteps =
        "1. Add nothing behind this port. 2. See which device draws more than the design says. 3. Check the limit that the switch has set for the port "
        + "against the design. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        var policy = input.Design.Headroom.AtPort;
        foreach (var port in input.Site.Ports.Values.Where(p => p.Draw.Provenance.IsDraw() && !IsSaidByRun(input.Site, p)))
        {
            if (port.Limit is not { } limit || port.DrawHeadroom is not { } left || !input.IsNear(left, policy.Early.For(limit), AlarmTypes.HeadroomLow))
            {
                continue;
            }

            var text = $"Headroom low at {input.Place(port)}: it draws {RuleInput.Watts(port.Draw)} of {RuleInput.Watts(limit)} (limit of the port in the design), "
                + $"{RuleInput.Watts(left)} left, at least {RuleInput.Watts(policy.Early.For(limit))} should be.";
            var key = new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.HeadroomLow);
            yield return RuleInput.Levelled(key, left.Watts, RuleInput.Levels(policy, limit), text, NextSteps) with
            {
                OnDelay = input.WhileBooting(port.Port),
            };
        }
    }

    private static bool IsSaidByRun(SiteAssessment site, PortAssessment port) =>
        port.CableRunId is { } id && site.CableRuns.TryGetValue(id, out var run) && run.Grade >= HeadroomGrade.Slim;
}
