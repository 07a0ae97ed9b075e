using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>A port draws more than the design asks for in any load case that can be in force now, beyond what meters err by.</summary>
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
        foreach (var port in input.Site.Ports.Values.Where(p => p.Draw.Provenance.IsDraw()))
        {
            if (port.DesignDemand is not { } demand || port.Draw.Watts is not { } draw)
            {
                continue;
            }

            var margin = demand + Power.Max(s_toleranceLeast, demand * ToleranceShare) - draw;
            if (input.IsNear(margin, Power.Zero, AlarmTypes.DrawAboveDesign))
            {
                var text = $"Draw above design at {input.Place(port)}: {RuleInput.Watts(port.Draw)}, the design asks for at most {RuleInput.Watts(demand)} at the PSE now "
                    + $"(5 % or 1 W more is let pass). Behind it: {port.Feeds}.";
                yield return new AlarmCondition(
                    new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.DrawAboveDesign), AlarmSeverity.Warning, margin.Watts, 0, text, NextSteps);
            }
        }
    }
}
