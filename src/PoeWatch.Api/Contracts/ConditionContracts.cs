using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>How something is known.</summary>
/// <param name="Origin">posted, thermometer, sun, climate or unknown.</param>
/// <param name="Who">Who posted it, or the id of the thermometer; empty where nobody.</param>
/// <param name="Since">When it was posted, read or reckoned; null where nothing is known.</param>
/// <param name="AgeSeconds">How long ago that was; null where nothing is known.</param>
/// <param name="Until">When this knowledge ends or changes; null where that is not known.</param>
/// <param name="Text">What was written beside it.</param>
public sealed record ConditionSourceContract(string Origin, string Who, DateTimeOffset? Since, double? AgeSeconds, DateTimeOffset? Until, string Text)
{
    internal static ConditionSourceContract From(ConditionSource source, DateTimeOffset now) => new(
        source.Origin.Name(), source.Who, source.At, source.At is { } at ? Math.Max(0, Math.Round((now - at).TotalSeconds, 1)) : null, source.Until, source.Text);
}

/// <summary>One condition.</summary>
/// <param name="State">holds, does-not-hold or unknown; unknown counts as if it could hold.</param>
public sealed record ConditionContract(string Condition, string State, ConditionSourceContract Source)
{
    internal static ConditionContract From(ConditionNow now, DateTimeOffset at) =>
        new(now.Condition.Name(), now.State.Name(), ConditionSourceContract.From(now.Source, at));
}

/// <summary>The temperature of the air in the open; null where nobody knows it.</summary>
public sealed record AirContract(double? AirCelsius, ConditionSourceContract Source)
{
    internal static AirContract From(AirNow air, DateTimeOffset at) => new(air.Shown.Rounded(), ConditionSourceContract.From(air.Source, at));
}

/// <summary>A thermometer of the design.</summary>
/// <param name="PseId">The element whose agent shows it.</param>
/// <param name="Cabinet">What encloses it; null where it hangs in the open.</param>
/// <param name="ShownCelsius">Null where it shows nothing, was not asked yet, or its reading is too old.</param>
/// <param name="ReadAt">When it was last asked; null where never.</param>
/// <param name="Problem">Why it shows nothing; empty where it does.</param>
public sealed record ThermometerContract(
    string Id, string PseId, string? Cabinet, double? ShownCelsius, DateTimeOffset? ReadAt, double? AgeSeconds, string Problem)
{
    internal static ThermometerContract From(Thermometer thermometer, ThermometerReading? reading, DateTimeOffset now) => new(
        thermometer.Id,
        thermometer.PseId,
        thermometer.Cabinet,
        reading?.ShownAt(now).Rounded(),
        reading?.At,
        reading is null ? null : Math.Max(0, Math.Round((now - reading.At).TotalSeconds, 1)),
        reading is null ? "Not asked yet." : reading.Shown is not null && reading.ShownAt(now) is null ? "The reading is too old." : reading.Problem);
}

/// <summary>A load case and whether it counts.</summary>
/// <param name="Conditions">What has to hold for it.</param>
/// <param name="AmbientCelsius">Air temperature that it assumes; null where it assumes none.</param>
/// <param name="NotNow">What keeps it out of force now; empty where it may be in force.</param>
/// <param name="NotToday">What keeps it away for the rest of the day; empty where it can come.</param>
/// <param name="NotThisSeason">What keeps it away until the end of the next month; empty where it can come.</param>
public sealed record LoadCaseContract(
    string Id,
    string Name,
    IReadOnlyList<string> Conditions,
    double? AmbientCelsius,
    bool IsInForce,
    bool CanComeToday,
    bool CanComeThisSeason,
    string NotNow,
    string NotToday,
    string NotThisSeason)
{
    internal static LoadCaseContract From(CaseOutlook outlook) => new(
        outlook.Case.Id,
        outlook.Case.Name,
        [.. outlook.Case.Conditions.Select(c => c.Name())],
        outlook.Case.Ambient.Rounded(),
        outlook.Now.MayCome,
        outlook.Today.MayCome,
        outlook.Season.MayCome,
        Why(outlook.Now),
        Why(outlook.Today),
        Why(outlook.Season));

    private static string Why(CaseChance chance) => chance.Hindrance switch
    {
        CaseHindrance.None => "",
        CaseHindrance.Months => "It is not the time of the year for it.",
        CaseHindrance.Hours => "It is not the time of the day for it.",
        CaseHindrance.MilderCase => "It does not get as cold as it assumes, and a milder case stands for what it does get.",
        _ => chance.Condition switch
        {
            LoadCondition.Dark => "It is not dark.",
            LoadCondition.Cold => "It is not cold enough for heaters.",
            LoadCondition.Wet => "It is not wet.",
            LoadCondition.PagingOne or LoadCondition.PagingGroup or LoadCondition.PagingAll => "Nobody pages.",
            LoadCondition.Motion => "Nobody is about.",
            LoadCondition.ColdStart => "Nothing starts after an outage.",
            _ => "One of its conditions does not hold.",
        },
    };
}

/// <summary>What is known of the conditions, which load cases count for it, and what the site may ask for in them.</summary>
/// <param name="LocalTime">The moment on the site's own clock.</param>
/// <param name="ColdBelowCelsius">Cold at this air temperature and below.</param>
/// <param name="WorstDemands">Of all runs together; null before the first assessment.</param>
public sealed record ConditionsContract(
    long ViewVersion,
    DateTimeOffset At,
    string LocalTime,
    string TimeZoneId,
    double ColdBelowCelsius,
    IReadOnlyList<ConditionContract> Conditions,
    AirContract Air,
    IReadOnlyList<ThermometerContract> Thermometers,
    IReadOnlyList<LoadCaseContract> LoadCases,
    WorstDemandsContract? WorstDemands)
{
    internal static ConditionsContract From(SiteView view)
    {
        var (design, at) = (view.Design, view.Assessment.At);
        var known = view.Assessment.Conditions ?? ConditionReckoner.Reckon(design, at, [], []);
        var clock = new SiteClock(design.Site.TimeZoneId);
        return new(
            view.Version,
            at,
            clock.LocalTime(at).ToString("yyyy-MM-dd'T'HH:mm:ss", System.Globalization.CultureInfo.InvariantCulture),
            design.Site.TimeZoneId,
            ConditionReckoner.ColdBelow(design).Celsius,
            [.. known.ByCondition.Values.Select(c => ConditionContract.From(c, at))],
            AirContract.From(known.Air, at),
            [.. design.Conditions.Thermometers.Select(t => ThermometerContract.From(t, known.Thermometers.FirstOrDefault(r => r.ThermometerId == t.Id), at))],
            [.. (view.Assessment.Outlook?.Cases ?? []).Select(LoadCaseContract.From)],
            WorstDemandsContract.From(view.Assessment.Demands?.OfSite()));
    }
}

/// <summary>What somebody posts: <paramref name="Holds"/> for a condition, <paramref name="AirCelsius"/> for the temperature.</summary>
/// <param name="Holds">Whether the condition holds.</param>
/// <param name="AirCelsius">Air temperature in the open, -90 to 60 C.</param>
/// <param name="Until">Until when it counts: RFC 3339 with offset or Z, later than now, at most 366 days ahead.</param>
/// <param name="Text">For the next shift; at most 1,000 characters.</param>
public sealed record ConditionRequest(bool? Holds, double? AirCelsius, string? Until, string? Text);

/// <summary>One word of the past.</summary>
/// <param name="Topic">A condition, or temperature.</param>
/// <param name="Kind">posted or taken-back.</param>
public sealed record ConditionChangeContract(
    string Topic, DateTimeOffset At, string Who, string Kind, bool? Holds, double? AirCelsius, DateTimeOffset? Until, string Text)
{
    internal static ConditionChangeContract From(PostedCondition word) => new(
        word.Topic, word.At, word.Who, word.IsWithdrawn ? "taken-back" : "posted", word.Holds, word.Air.Rounded(), word.Until, word.Text);
}

/// <summary>Temperatures as the API writes them.</summary>
internal static class TemperatureRounding
{
    public static double? Rounded(this Temperature? temperature) => temperature?.Celsius.Rounded();
}
