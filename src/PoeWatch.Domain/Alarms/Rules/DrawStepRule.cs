using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// For an hour a port has drawn more, or less, than in any quarter-hour of the last seven whole days. A rise that the design explains by a load case that was not in force in
/// those days, or that draw above design or low headroom tells already, is none; nor is a fall that the design explains, or that ends a creep. It clears by itself once the new level is part of the days before.
/// </summary>
internal static class DrawStepRule
{
    public const int DaysLeast = 3;
    private const int DaysMost = 7;
    private const int QuartersOfHour = 4;

    // Beyond what meters err by and what a device does of itself: common practice, no source.
    private const double StepLeastWatts = 1;
    private const double StepLeastShare = 0.10;

    private const string NextSteps =
        "1. See what was changed behind this port at that time: a swapped device, new firmware, a new setting. 2. If the change is right, enter it in the design. 3. A fall with the "
        + "device still fed is often a part that failed: a light, a heater, a radio; look at the device's own page. " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var port in input.Site.Ports.Values.Where(p => p is { State: PortState.Delivering, IsUnexpected: false } && p.Draw.Provenance.IsDraw()))
        {
            if (input.Memory?.Find(port.Port) is not { LastHour.Count: QuartersOfHour } memory)
            {
                continue;
            }

            var days = memory.Days.Where(d => d.IsWhole).TakeLast(DaysMost).ToList();
            if (days.Count < DaysLeast)
            {
                continue;
            }

            var (least, most) = (days.Min(d => d.LeastWatts), days.Max(d => d.MostWatts));

            // With the draw of this moment: a level that is over already is none.
            var now = (float)port.Draw.Watts!.Value.Watts;
            var (low, high) = (Math.Min(now, memory.LastHour.Min()), Math.Max(now, memory.LastHour.Max()));
            var demands = days.Where(d => !float.IsNaN(d.DemandWatts)).Select(d => d.DemandWatts).ToList();
            var isExplained = demands.Count > 0 && port.DesignDemand?.Watts > demands.Max() + StepLeastWatts;

            // And so is a fall where the design asks for less than at any time of those days: the cold is over.
            var isLess = port.DesignDemand?.Watts < days.Select(d => d.LeastDemandWatts).Where(w => !float.IsNaN(w)).DefaultIfEmpty(float.NaN).Min() - StepLeastWatts;
            var isRise = low > most + Math.Max(StepLeastWatts, most * StepLeastShare) && !isExplained && !IsToldAlready(input, port);
            var isFall = high < least - Math.Max(StepLeastWatts, least * StepLeastShare) && !isLess && !GrantTooSmallRule.IsTooSmall(input, port)
                && memory.Trend is not { IsCreep: true };
            if (isRise || isFall)
            {
                var text = string.Create(
                    CultureInfo.InvariantCulture,
                    $"Draw {(isRise ? "stepped up" : "stepped down")} at {input.Place(port)}: for an hour {low:0.0} to {high:0.0} W ({port.Draw.Provenance.Name()}, quarter-hour means at the PSE), in the {days.Count} whole days before {least:0.0} to {most:0.0} W. Told from {StepLeastWatts:0} W and {StepLeastShare:0 %} beyond (common practice). Behind it: {port.Feeds ?? "nothing by design"}.");
                yield return AlarmCondition.Plain(new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.DrawStep), AlarmSeverity.Warning, text, NextSteps);
            }
        }
    }

    private static bool IsToldAlready(RuleInput input, PortAssessment port) =>
        DrawAboveDesignRule.IsAbove(port)
        || (port.CableRunId is { } id && input.Site.CableRuns.TryGetValue(id, out var run) && run.Grade >= HeadroomGrade.Slim);
}
