using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Assessment;

/// <summary>Whether load cases can come within a stretch of time. Pure.</summary>
/// <param name="Cases">All of the design.</param>
/// <param name="Span">The stretch.</param>
/// <param name="Conditions">What is known at its beginning.</param>
/// <param name="Coldest">The coldest that it can bring; null where nobody knows.</param>
/// <param name="ColdBelow">At this air temperature and below some heater may run.</param>
/// <param name="MayBeWet">False where the climate of its months knows no rain.</param>
/// <param name="Darkness">Null where the sun cannot be reckoned.</param>
internal sealed record CaseHorizon(
    ImmutableArray<LoadCase> Cases, UtcSpan Span, SiteConditions Conditions, Temperature? Coldest, Temperature ColdBelow, bool MayBeWet, Darkness? Darkness)
{
    /// <summary>The conditions that a case needs. A case that is so cold that heaters run needs cold, whether it says so or not.</summary>
    public static ImmutableSortedSet<LoadCondition> ConditionsOf(LoadCase loadCase, Temperature coldBelow) =>
        loadCase.Ambient is { } air && air.CompareTo(coldBelow) <= 0 ? loadCase.Conditions.Add(LoadCondition.Cold) : loadCase.Conditions;

    /// <summary>
    /// True where it cannot get as cold as a case assumes and another case, alike but for a milder temperature, is still as cold as it gets. A case
    /// that is colder than it ever gets counts as long as no such other one stands in for it: at +2 C the heaters of a case for -10 C run too.
    /// </summary>
    public static bool HasMilderInstead(ImmutableArray<LoadCase> cases, LoadCase loadCase, Temperature? coldest) =>
        coldest is { } lowest && loadCase.Ambient is { } assumed && assumed.CompareTo(lowest) < 0
        && cases.Any(other => other.Ambient is { } milder && milder.CompareTo(assumed) > 0 && milder.CompareTo(lowest) <= 0
            && other.Window == loadCase.Window && other.Months.SetEquals(loadCase.Months) && other.Conditions.SetEquals(loadCase.Conditions));

    /// <summary>Whether all that a case needs can coincide somewhere in some parts of the stretch.</summary>
    public CaseChance Within(LoadCase loadCase, IEnumerable<UtcSpan> parts)
    {
        var chance = new CaseChance(CaseHindrance.Hours, default);
        foreach (var part in parts)
        {
            chance = Chance(loadCase, part, (darkness, from) => darkness.FirstDark(from, part.To) is not null);
            if (chance.MayCome)
            {
                break;
            }
        }

        return chance;
    }

    /// <summary>Whether each thing that a case needs can come somewhere in the stretch, to the day; hours are not looked at.</summary>
    public CaseChance Roughly(LoadCase loadCase) =>
        Chance(loadCase, Span, (darkness, from) => darkness.CanBeDarkWithin(from, Span.To));

    private CaseChance Chance(LoadCase loadCase, UtcSpan part, Func<Darkness, DateTimeOffset, bool> canBeDark)
    {
        var needed = ConditionsOf(loadCase, ColdBelow);
        foreach (var condition in needed.Where(c => Conditions.RuledOutUntil(c) >= part.To))
        {
            return CaseChance.Without(condition);
        }

        if (needed.Contains(LoadCondition.Cold) && Coldest is { } coldest && coldest.CompareTo(ColdBelow) > 0
            && !(Conditions.PromisedUntil(LoadCondition.Cold) > part.From))
        {
            return CaseChance.Without(LoadCondition.Cold);
        }

        if (needed.Contains(LoadCondition.Wet) && !MayBeWet && !(Conditions.PromisedUntil(LoadCondition.Wet) > part.From))
        {
            return CaseChance.Without(LoadCondition.Wet);
        }

        // What is ruled out until some time takes the beginning away from the whole case.
        var from = needed.Select(c => Conditions.RuledOutUntil(c) ?? part.From).Append(part.From).Max();
        if (needed.Contains(LoadCondition.Dark) && Darkness is { } darkness
            && !(Conditions.PromisedUntil(LoadCondition.Dark) > from) && !canBeDark(darkness, from))
        {
            return CaseChance.Without(LoadCondition.Dark);
        }

        return HasMilderInstead(Cases, loadCase, Coldest) ? new CaseChance(CaseHindrance.MilderCase, default) : CaseChance.Open;
    }
}
