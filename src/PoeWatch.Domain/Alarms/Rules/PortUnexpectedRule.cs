namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>A port feeds a device where the design has none, or feeds the data side of an injector, where two supplies meet.</summary>
internal static class PortUnexpectedRule
{
    private const string NextSteps =
        "1. Find out what is connected. 2. If it belongs there, enter it in the design, so that it counts in the headroom. 3. Else have it removed. "
        + RuleInput.Caution;

    private const string DataSideSteps =
        "1. Switch PoE off on this port: in a chain of two supplies only one may feed. 2. If the injector has been taken out, change the design. "
        + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var port in input.Site.Ports.Values.Where(p => p.IsUnexpected))
        {
            var key = new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.PortUnexpected);
            yield return port.DataSideInjectorId is { } injector
                ? AlarmCondition.Plain(
                    key, AlarmSeverity.Minor,
                    $"Port {port.Port} feeds {RuleInput.Watts(port.Draw)} into the data side of injector {injector}: by design it feeds nothing.", DataSideSteps)
                : AlarmCondition.Plain(
                    key, AlarmSeverity.Warning, $"Port {port.Port} feeds a device, {RuleInput.Watts(port.Draw)}; the design has none there.", NextSteps);
        }
    }
}
