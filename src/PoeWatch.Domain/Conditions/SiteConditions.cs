using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Conditions;

/// <summary>A condition at one moment, with how it is known.</summary>
public sealed record ConditionNow(LoadCondition Condition, ConditionState State, ConditionSource Source);

/// <summary>The temperature of the air at one moment; null exactly where nobody knows it.</summary>
public sealed record AirNow(Temperature? Shown, ConditionSource Source);

/// <summary>What is known of the conditions of a site at one moment. Immutable.</summary>
/// <param name="ByCondition">Every condition.</param>
/// <param name="Air">Temperature in the open.</param>
/// <param name="Thermometers">Newest reading of each thermometer of the design that was asked, in the order of the design.</param>
public sealed record SiteConditions(
    DateTimeOffset At, ImmutableSortedDictionary<LoadCondition, ConditionNow> ByCondition, AirNow Air, ImmutableArray<ThermometerReading> Thermometers)
{
    public ConditionState StateOf(LoadCondition condition) =>
        ByCondition.TryGetValue(condition, out var known) ? known.State : ConditionState.Unknown;

    /// <summary>The moment before which somebody said that a condition does not hold; null where nobody says so.</summary>
    public DateTimeOffset? RuledOutUntil(LoadCondition condition) =>
        ByCondition.TryGetValue(condition, out var known) && known is { State: ConditionState.DoesNotHold, Source: { Origin: ConditionOrigin.Posted } source }
            ? source.Until
            : null;

    /// <summary>The moment up to which somebody said that a condition holds; null where nobody says so.</summary>
    public DateTimeOffset? PromisedUntil(LoadCondition condition) =>
        ByCondition.TryGetValue(condition, out var known) && known is { State: ConditionState.Holds, Source: { Origin: ConditionOrigin.Posted } source }
            ? source.Until
            : null;
}
