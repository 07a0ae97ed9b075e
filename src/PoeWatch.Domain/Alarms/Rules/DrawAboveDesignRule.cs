using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// A port draws more than the design asks for in any load case that can be in force now, beyond what meters err by. Where that leaves its run too little headroom the run's
/// alarm says it, with the same numbers.
/// </summary>
internal static class DrawAboveDesignRule
{
    // Meters of PSE ports and demands on type plates are good to a few percent: common practice, no source.
    private const double ToleranceShare = 0.05;
    private static readonly Power s_toleranceLeast = Power.FromWatts(1);

    private const string NextSteps =
        "1. See what is connected: a changed or added device, a heater or light on at the wrong time. 2. If the device is right, enter its demand in the design, "
        + "so that headroom is reckoned with it. 3. Else have the device looked at: a rising draw can be a fault. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var port in input.Site.Ports.Values.Where(p => p.Draw.Provenance.IsDraw() && !IsSaidByRun(input.Site, p)))
        {
            if (port.DesignDemand is not { } demand || port.Draw.Watts is not { } draw)
            {
                continue;
            }

            var margin = Margin(demand, draw);
            if (input.IsNear(margin, Power.Zero, AlarmTypes.DrawAboveDesign))
            {
                var text = $"Draw above design at {input.Place(port)}: {RuleInput.Watts(port.Draw)}, the design asks for at most {RuleInput.Watts(demand)} at the PSE now "
                    + $"(5 % or 1 W more is let pass). Behind it: {port.Feeds}.";
                yield return new AlarmCondition(
                    new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.DrawAboveDesign), AlarmSeverity.Warning, margin.Watts, 0, text, NextSteps)
                {
                    OnDelay = input.WhileBooting(port.Port),
                };
            }
        }
    }

    /// <summary>True where the draw is above the design by more than meters err by.</summary>
    internal static bool IsAbove(PortAssessment port) =>
        port.DesignDemand is { } demand && port.Draw.Watts is { } draw && port.Draw.Provenance.IsDraw() && Margin(demand, draw) < Power.Zero;

    private static Power Margin(Power demand, Power draw) => demand + Power.Max(s_toleranceLeast, demand * ToleranceShare) - draw;

    // Low headroom of the run tells the same excess with its consequence: one cause, one alarm.
    private static bool IsSaidByRun(SiteAssessment site, PortAssessment port) =>
        port.CableRunId is { } id && site.CableRuns.TryGetValue(id, out var run) && run.Grade >= HeadroomGrade.Slim && run.Excess > Power.Zero;
}
