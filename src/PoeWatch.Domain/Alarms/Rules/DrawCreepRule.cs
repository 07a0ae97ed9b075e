using System.Globalization;
using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>
/// The base of a port's draw has been rising for weeks, surely (99 %), by enough and all along; and, where that goes on, the day on which the headroom of the run that it
/// meters ends. Where that day is near it is one alarm of the run, else one of the port.
/// </summary>
internal static class DrawCreepRule
{
    /// <summary>How far ahead an end is told, in days: time to plan and do work at a pole. Common practice, no source.</summary>
    public const double HorizonDays = 60;

    private const string NextSteps =
        "1. Look at the chart of the last weeks: a steady rise, or days that stand out. 2. A rise that grows with rain points to water in a connector or cable: have both ends opened, "
        + "dried and sealed. 3. Else compare the device's own figures with those of its first weeks: fan, heater, temperature. 4. Plan the work before the headroom ends. "
        + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var port in input.Memory is null ? [] : input.Site.Ports.Values.AsEnumerable())
        {
            if (input.Memory!.Find(port.Port) is not { } memory || memory.Trend is not { IsCreep: true } trend)
            {
                continue;
            }

            var run = port.CableRunId is { } id ? input.Site.CableRuns.GetValueOrDefault(id) : null;
            var end = run is null ? null : Forecast(run, memory, trend);
            yield return end is { } days && days.Middle < HorizonDays
                ? new AlarmCondition(
                    new AlarmKey(AlarmResources.CableRun(run!.CableRunId), AlarmTypes.HeadroomEnds), AlarmSeverity.Warning, days.Middle, HorizonDays,
                    $"Headroom ends on {input.Place(run)}: {Rise(port, trend)} At this trend {RuleInput.Watts(run.Headroom.Watts)} of headroom (worst load case that can still come: {run.WorstLoadCaseId}) "
                    + $"end on {Date(input.Site.At, days.Middle)}, between {Date(input.Site.At, days.Soonest)} and {Date(input.Site.At, days.Latest)} (99 % interval of the slope). First limit: {run.Headroom.Binding.Sentence} ({run.Headroom.Binding.Source})",
                    NextSteps)
                : AlarmCondition.Plain(
                    new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.DrawCreep), AlarmSeverity.Warning,
                    $"Draw creeps up at {input.Place(port)}: {Rise(port, trend)} Behind it: {port.Feeds ?? "nothing by design"}.", NextSteps);
        }
    }

    /// <summary>
    /// Days until the headroom is gone. First the draw may rise to what the design expects, for so much is in the headroom already; then each watt at the PSE takes at most a watt
    /// at the far end, so the end is told rather too soon.
    /// </summary>
    public static (double Soonest, double Middle, double Latest)? Forecast(RunAssessment run, PortMemory memory, DrawTrend trend)
    {
        if (run.Headroom.Binding.IsBroken || !run.DrawAtPse.Provenance.IsDraw())
        {
            return null;
        }

        var week = memory.Days.TakeLast(7).ToList();
        var demand = week.Select(d => (double)d.DemandWatts).Where(w => !double.IsNaN(w)).DefaultIfEmpty(0).Max();
        var watts = Math.Max(0, demand - week.Max(d => (double)d.MostWatts)) + run.Headroom.Watts.Watts;
        return (watts / trend.Line.SlopeMost, watts / trend.Line.Slope, watts / trend.Line.SlopeLeast);
    }

    private static string Rise(PortAssessment port, DrawTrend trend) => string.Create(
        CultureInfo.InvariantCulture,
        $"its base (the quarter-hour mean that a quarter of a day stays under) rose from {trend.FromWatts:0.0} W to {trend.ToWatts:0.0} W ({port.Draw.Provenance.Name()}, at the PSE) in {trend.Days} whole days, {trend.Line.Slope * 7:0.00} W a week ({trend.Line.SlopeLeast * 7:0.00} to {trend.Line.SlopeMost * 7:0.00}; Theil-Sen slope, 99 % interval).");

    private static string Date(DateTimeOffset now, double days) =>
        days > 3650 ? "no day within ten years" : now.AddDays(days).UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
