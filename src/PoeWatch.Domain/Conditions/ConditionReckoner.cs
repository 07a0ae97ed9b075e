using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Conditions;

/// <summary>
/// Which conditions hold at a moment, from what people posted, thermometers, the sun and the climate, in this order: the first that says anything
/// counts. Pure and thread safe.
/// </summary>
public static class ConditionReckoner
{
    private static readonly TimeSpan Ahead = TimeSpan.FromDays(1);

    /// <param name="posted">Newest word on each topic, as <see cref="PostedCondition.Newest"/> gives them; what is over is passed over.</param>
    /// <param name="readings">Newest reading of each thermometer; those of another design are passed over.</param>
    public static SiteConditions Reckon(
        DesignModel design, DateTimeOffset now, IEnumerable<PostedCondition> posted, IEnumerable<ThermometerReading> readings)
    {
        ArgumentNullException.ThrowIfNull(design);
        return Reckon(design.Site, design.Conditions, ColdBelow(design), now, posted, readings);
    }

    /// <summary>The same for the parts of a design that matter.</summary>
    public static SiteConditions Reckon(
        Site site, ConditionPlan plan, Temperature coldBelow, DateTimeOffset now, IEnumerable<PostedCondition> posted, IEnumerable<ThermometerReading> readings)
    {
        ArgumentNullException.ThrowIfNull(site);
        ArgumentNullException.ThrowIfNull(plan);
        var words = posted.Where(word => word.CountsAt(now)).ToDictionary(word => word.Topic, StringComparer.Ordinal);
        var byId = readings.ToDictionary(reading => reading.ThermometerId, StringComparer.Ordinal);
        ImmutableArray<ThermometerReading> thermometers =
            [.. plan.Thermometers.Where(t => byId.ContainsKey(t.Id)).Select(t => byId[t.Id])];
        var air = Air(plan, now, words, byId);
        return new SiteConditions(
            now, ConditionNames.All.ToImmutableSortedDictionary(c => c, Of), air, thermometers);

        ConditionNow Of(LoadCondition condition) =>
            words.TryGetValue(condition.Name(), out var word)
                ? new ConditionNow(condition, word.Holds == true ? ConditionState.Holds : ConditionState.DoesNotHold, Said(word))
                : condition switch
                {
                    LoadCondition.Dark when plan.DarknessAt(site) is { } darkness => BySun(darkness, now),
                    LoadCondition.Cold => ByAir(site, plan, coldBelow, now, air),
                    LoadCondition.Wet when !plan.MayBeWetIn(MonthOf(site, now)) =>
                        new ConditionNow(condition, ConditionState.DoesNotHold, new ConditionSource(ConditionOrigin.Climate, "", now, null)),
                    _ => new ConditionNow(condition, ConditionState.Unknown, ConditionSource.Nothing),
                };
    }

    /// <summary>
    /// At this air temperature and below some heater of the design may run: what the design says, else where the first of its devices starts its heater. A
    /// type that does not say counts with <see cref="ConditionPlan.ColdBelowDefault"/>.
    /// </summary>
    public static Temperature ColdBelow(DesignModel design)
    {
        ArgumentNullException.ThrowIfNull(design);
        return design.Conditions.ColdBelow
            ?? design.Devices.Values.Select(device => device.TypeId).Distinct(StringComparer.Ordinal)
                .Select(type => HeaterStartsAt(design.DeviceTypes[type])).OfType<Temperature>()
                .DefaultIfEmpty(ConditionPlan.ColdBelowDefault).Max();
    }

    /// <summary>Null where a type has no heater for sure.</summary>
    private static Temperature? HeaterStartsAt(DeviceType type) =>
        type.Physical is null || type.Physical.Names(LoadCondition.Cold) || type.DemandByLoadCase.Count > 0
            ? type.Physical?.HeaterStartsAt ?? ConditionPlan.ColdBelowDefault
            : null;

    private static AirNow Air(
        ConditionPlan plan,
        DateTimeOffset now,
        Dictionary<string, PostedCondition> words,
        Dictionary<string, ThermometerReading> readings)
    {
        if (words.TryGetValue(ConditionNames.AirTemperature, out var word))
        {
            return new AirNow(word.Air, Said(word));
        }

        // Where several hang in the open the coldest counts: it is the heater beside it that starts first.
        var coldest = plan.Thermometers.Where(t => t.Cabinet is null)
            .Select(t => readings.GetValueOrDefault(t.Id)).Where(r => r?.ShownAt(now) is not null).MinBy(r => r!.Shown);
        return coldest is null
            ? new AirNow(null, ConditionSource.Nothing)
            : new AirNow(
                coldest.Shown, new ConditionSource(ConditionOrigin.Thermometer, coldest.ThermometerId, coldest.At, coldest.GoodUntil));
    }

    private static ConditionSource Said(PostedCondition word) =>
        new(ConditionOrigin.Posted, word.Who, word.At, word.Until) { Text = word.Text };

    private static ConditionNow BySun(Darkness darkness, DateTimeOffset now)
    {
        var isDark = darkness.IsDark(now);
        var change = isDark ? darkness.FirstLight(now, now + Ahead) : darkness.FirstDark(now, now + Ahead);
        return new ConditionNow(
            LoadCondition.Dark,
            isDark ? ConditionState.Holds : ConditionState.DoesNotHold,
            new ConditionSource(ConditionOrigin.Sun, "", now, change));
    }

    private static int MonthOf(Site site, DateTimeOffset now) => TimeZoneInfo.ConvertTime(now, SiteClock.ZoneOf(site.TimeZoneId)).Month;

    private static ConditionNow ByAir(Site site, ConditionPlan plan, Temperature threshold, DateTimeOffset now, AirNow air)
    {
        if (air.Shown is { } shown)
        {
            return new ConditionNow(LoadCondition.Cold, shown.CompareTo(threshold) <= 0 ? ConditionState.Holds : ConditionState.DoesNotHold, air.Source);
        }

        if (plan.Climate is not { } climate)
        {
            return new ConditionNow(LoadCondition.Cold, ConditionState.Unknown, ConditionSource.Nothing);
        }

        var month = MonthOf(site, now);
        var state = climate.Coldest[month - 1].CompareTo(threshold) > 0 ? ConditionState.DoesNotHold
            : climate.Warmest[month - 1].CompareTo(threshold) <= 0 ? ConditionState.Holds
            : ConditionState.Unknown;
        return new ConditionNow(LoadCondition.Cold, state, new ConditionSource(ConditionOrigin.Climate, "", now, null));
    }
}
