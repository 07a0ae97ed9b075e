using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Assessment;

/// <summary>
/// Which load cases may be in force at a moment, which can still come today and which this season. What nobody knows can be: the worst case. Pure and
/// thread safe.
/// </summary>
public sealed class LoadCaseCalendar
{
    private readonly ImmutableArray<LoadCase> _cases;
    private readonly SiteClock _clock;
    private readonly Darkness? _darkness;
    private readonly ConditionPlan _plan;
    private readonly SiteClimate? _climate;
    private readonly Temperature _coldBelow;

    /// <param name="cases">In the order of the design; at least one.</param>
    /// <param name="site">Its clock and its coordinates. Where this machine does not know the zone the hours are read in UTC.</param>
    /// <param name="plan">How conditions come to be known.</param>
    /// <param name="coldBelow">At this air temperature and below some heater may run.</param>
    public LoadCaseCalendar(ImmutableArray<LoadCase> cases, Site site, ConditionPlan plan, Temperature coldBelow)
    {
        ArgumentOutOfRangeException.ThrowIfZero(cases.Length);
        ArgumentNullException.ThrowIfNull(site);
        ArgumentNullException.ThrowIfNull(plan);
        (_cases, _clock, _coldBelow) = (cases, new SiteClock(site.TimeZoneId), coldBelow);
        (_darkness, _plan, _climate) = (plan.DarknessAt(site), plan, plan.Climate);
    }

    /// <summary>The moment on the site's own clock.</summary>
    public DateTime LocalTime(DateTimeOffset now) => _clock.LocalTime(now);

    /// <param name="conditions">What is known at that moment.</param>
    public LoadCaseOutlook At(DateTimeOffset now, SiteConditions conditions)
    {
        ArgumentNullException.ThrowIfNull(conditions);
        var month = LocalTime(now).Month;
        var next = (month % 12) + 1;
        var day = new CaseHorizon(_cases, _clock.RestOfDay(now), conditions, Coldest(conditions, month), _coldBelow, _plan.MayBeWetIn(month), _darkness);
        var season = new CaseHorizon(
            _cases, _clock.RestOfSeason(now), conditions, Coldest(conditions, month, next), _coldBelow, _plan.MayBeWetIn(month, next), _darkness);
        var cases = _cases.Select(c =>
        {
            var nowChance = Now(c, now, conditions);
            var today = nowChance.MayCome ? CaseChance.Open : IsOfMonth(c, month) ? day.Within(c, _clock.Within(day.Span, c.Window)) : new(CaseHindrance.Months, default);
            var later = today.MayCome ? CaseChance.Open
                : IsOfMonth(c, month) || IsOfMonth(c, next) ? season.Roughly(c)
                : new(CaseHindrance.Months, default);
            return new CaseOutlook(c, nowChance, today, later);
        }).ToImmutableArray();
        return Whole(cases);
    }

    private LoadCaseOutlook Whole(ImmutableArray<CaseOutlook> cases)
    {
        var all = Enumerable.Range(0, cases.Length).ToImmutableArray();
        var season = OrElse(all.Where(i => cases[i].Season.MayCome), all);
        var inForce = OrElse(all.Where(i => cases[i].Now.MayCome), season);
        return new LoadCaseOutlook(inForce, OrElse(all.Where(i => cases[i].Today.MayCome), inForce), season, cases);
    }

    private static ImmutableArray<int> OrElse(IEnumerable<int> found, ImmutableArray<int> otherwise)
    {
        ImmutableArray<int> some = [.. found];
        return some.IsEmpty ? otherwise : some;
    }

    private CaseChance Now(LoadCase loadCase, DateTimeOffset now, SiteConditions conditions)
    {
        var local = LocalTime(now);
        if (!IsOfMonth(loadCase, local.Month))
        {
            return new CaseChance(CaseHindrance.Months, default);
        }

        if (loadCase.Window is { } window && !window.Contains(TimeOnly.FromDateTime(local)))
        {
            return new CaseChance(CaseHindrance.Hours, default);
        }

        foreach (var condition in CaseHorizon.ConditionsOf(loadCase, _coldBelow).Where(c => conditions.StateOf(c) == ConditionState.DoesNotHold))
        {
            return CaseChance.Without(condition);
        }

        // Without a reading the climate of the month says how cold it can be at this moment.
        var coldest = conditions.Air.Shown ?? _climate?.ColdestOf(local.Month);
        return CaseHorizon.HasMilderInstead(_cases, loadCase, coldest) ? new CaseChance(CaseHindrance.MilderCase, default) : CaseChance.Open;
    }

    /// <summary>The coldest that some months can bring, and what it is now where that is colder still; null without a climate.</summary>
    private Temperature? Coldest(SiteConditions conditions, params ReadOnlySpan<int> months)
    {
        if (_climate is null)
        {
            return null;
        }

        var expected = _climate.ColdestOf(months);
        return conditions.Air.Shown is { } air && air.CompareTo(expected) < 0 ? air : expected;
    }

    private static bool IsOfMonth(LoadCase loadCase, int month) => loadCase.Months.IsEmpty || loadCase.Months.Contains(month);
}
