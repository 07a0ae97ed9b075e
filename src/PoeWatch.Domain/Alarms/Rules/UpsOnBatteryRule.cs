using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>A UPS says that it runs on its battery: everything behind it goes off when that is empty.</summary>
internal static class UpsOnBatteryRule
{
    private const string NextSteps =
        "1. See whether the mains at the cabinet is gone or only the UPS' feed: fuse, breaker, plug. 2. See what has to go on and what may be switched off to make the battery "
        + "last. 3. Before it is empty, tell those who rely on the poles behind it. 4. When the mains is back everything starts at once: see the cold start of the groups. "
        + "Caution: mains and batteries are for licensed people under the local code; a UPS is live at its output while its mains is off.";

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input) =>
        from ups in input.Site.UpsUnits
        where ups.Reading?.ToldAt(input.Site.At) is { IsOnBattery: true }
        let told = ups.Reading!.Told!
        select AlarmCondition.Plain(
            new AlarmKey(AlarmResources.Ups(ups.UpsId), AlarmTypes.UpsOnBattery),
            told.Battery is UpsBatteryState.Low or UpsBatteryState.Depleted ? AlarmSeverity.Critical : AlarmSeverity.Major,
            Text(input, ups, told),
            NextSteps);

    /// <summary>False where its agent has not said of late whether it is on battery.</summary>
    internal static bool IsKnown(string upsId, SiteAssessment site) =>
        site.UpsUnits.FirstOrDefault(ups => ups.UpsId == upsId)?.Reading?.ToldAt(site.At)?.IsOnBattery is not null;

    private static string Text(RuleInput input, UpsAssessment ups, UpsFigures told)
    {
        var since = told.OnBatteryFor is { } time && time > TimeSpan.Zero
            ? string.Create(CultureInfo.InvariantCulture, $" for {Lasting(time)}")
            : "";
        var remaining = told.Remaining is { } left ? string.Create(CultureInfo.InvariantCulture, $"The UPS says that {Lasting(left)} are left") : "The UPS does not say how long it lasts";
        var charge = told.ChargePercent is { } percent ? string.Create(CultureInfo.InvariantCulture, $" at {percent} % of its charge") : "";
        var ours = ups.Runtime is { } runtime
            ? $"; by the design a charged battery lasts {(ups.Load.Provenance.IsDraw() ? "" : "at least ")}{Lasting(runtime)} at the present draw"
            : "";
        var state = told.Battery switch
        {
            UpsBatteryState.Low => " Its battery is low.",
            UpsBatteryState.Depleted => " Its battery is depleted.",
            _ => "",
        };
        return $"UPS {input.Design.UpsUnits[ups.UpsId].Name} ({ups.UpsId}) has been on battery{since}.{state} {remaining}{charge}{ours}. Behind it: {RuleInput.List(ups.SwitchIds)}.";
    }

    private static string Lasting(TimeSpan time) => time < TimeSpan.FromMinutes(2)
        ? string.Create(CultureInfo.InvariantCulture, $"{time.TotalSeconds:0} s")
        : time < TimeSpan.FromHours(10) ? string.Create(CultureInfo.InvariantCulture, $"{Math.Floor(time.TotalMinutes):0} min")
        : string.Create(CultureInfo.InvariantCulture, $"{time.TotalHours:0.0} h");
}
