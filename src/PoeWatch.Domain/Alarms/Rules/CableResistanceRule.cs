using System.Globalization;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// The copper of a segment that is metered at both ends has surely more resistance than a sound cable of its design, or than it had itself weeks ago. Spoken for the run;
/// of several segments of a run the worst.
/// </summary>
internal static class CableResistanceRule
{
    // Weather between two weeks that are four weeks apart changes copper by 5 % or so (0.393 % a degree): common practice, no source.
    public const double EarlyPercent = 10;
    public const double LatePercent = 50;

    private const string NextSteps =
        "1. Look at the chart of the run over the last weeks, and at the weather: what comes with rain is water. 2. Have both ends, every joint and surge protector of the segment opened: green or black "
        + "contacts, a loose screw, burnt plastic. A joint that grows in resistance grows warm. 3. Measure the loop with a tester while the feed is off. Where the cable is right as it is, write "
        + "that figure into the design (measured-loop-ohm). " + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var run in input.Site.Segments.GroupBy(s => s.Segment.CableRunId))
        {
            if (run.Where(s => s.SurelyGrown is not null).MaxBy(s => s.SurelyGrown!.Value.Fraction) is not { } worst
                || -worst.SurelyGrown!.Value.Percent >= input.Timings.For(AlarmTypes.CableResistanceGrown).ClearsAt(-EarlyPercent)
                || !input.Site.CableRuns.TryGetValue(run.Key, out var state))
            {
                continue;
            }

            AlarmLevel[] levels = [new(AlarmSeverity.Warning, -EarlyPercent), new(AlarmSeverity.Minor, -LatePercent)];
            yield return RuleInput.Levelled(
                new AlarmKey(AlarmResources.CableRun(run.Key), AlarmTypes.CableResistanceGrown), -worst.SurelyGrown.Value.Percent, levels, Text(input.Place(state), worst, Load(input, worst)), NextSteps);
        }
    }

    /// <summary>False where a loop of the run is told by none of its metered segments; null for keys of other rules.</summary>
    public static bool? IsKnown(AlarmKey key, RuleInput input)
    {
        if (key.Type != AlarmTypes.CableResistanceGrown)
        {
            return null;
        }

        // As long as nobody has looked at the segments (just after a start) nothing is known of them.
        var segments = input.Site.Segments.Where(s => AlarmResources.CableRun(s.Segment.CableRunId) == key.Resource).ToList();
        return segments.Count == 0 ? MeteredSegment.Of(input.Design).All(s => AlarmResources.CableRun(s.CableRunId) != key.Resource) : segments.Exists(s => s.IsGrowthKnown);
    }

    private static Power? Load(RuleInput input, SegmentBalance balance) =>
        input.Site.Ports.GetValueOrDefault(balance.Segment.FedBy) is { } port && port.Draw.Provenance.IsDraw() ? port.Draw.Watts : null;

    private static string Text(string place, SegmentBalance balance, Power? load)
    {
        var segment = balance.Segment;
        var designed = segment.IsDesignMeasured ? "from a tester's figure" : "reckoned from gauge and length";
        var loop = balance.Loop is { } ohms && balance.Now!.HalfWidth is { } half
            ? string.Create(CultureInfo.InvariantCulture, $"a loop of {ohms.Ohms:0.00} ohm ({(ohms - half).Ohms:0.00} to {(ohms + half).Ohms:0.00}, 90 % interval; derived from the watts at both ends over {balance.Days} days)")
            : "the loop itself is not known, its growth is";
        var shift = balance is { Shift: { } grown, EarlierFrom: { } from, EarlierTo: { } to }
            ? string.Create(CultureInfo.InvariantCulture, $", {grown.Ohms.Ohms:0.00} ohm more than from {from:yyyy-MM-dd} to {to:yyyy-MM-dd} ({(grown.Ohms - grown.HalfWidth).Ohms:0.00} to {(grown.Ohms + grown.HalfWidth).Ohms:0.00}, derived by the same meters)")
            : "";
        var amperes = load is { } watts ? watts.Watts / segment.AtPse.Volts : 0;
        var more = amperes * amperes * (balance.Loop is { } all ? Math.Max((all - segment.Designed).Ohms, balance.Shift?.Ohms.Ohms ?? 0) : balance.Shift?.Ohms.Ohms ?? 0);
        var heat = more > 0
            ? string.Create(CultureInfo.InvariantCulture, $" At the present {amperes:0.00} A (derived from the watts at the PSE) that is {more:0.0} W more of heat, perhaps in one place.")
            : "";
        return string.Create(
            CultureInfo.InvariantCulture,
            $"Cable resistance grew on {place}, segment {segment.Segment.Id} from {segment.FedBy} to {segment.FarId}: {loop}{shift}; {segment.Designed.Ohms:0.00} ohm by design ({designed}). That is surely {balance.SurelyGrown!.Value.Percent:0} % of it more than sound or than before; told from {EarlyPercent:0} % (common practice).{heat}");
    }
}
