using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design;

/// <summary>
/// What a kind of device takes at its input, condition by condition. Paging stands under <see cref="LoadCondition.PagingAll"/> whoever else pages; the boot peak under
/// <see cref="LoadCondition.ColdStart"/>. Immutable.
/// </summary>
/// <param name="Idle">The least while it is fed: lamps off, nobody speaks.</param>
/// <param name="Typical">On a mild, quiet day.</param>
/// <param name="Peak">Never exceeded, whatever coincides; at most what the class allows.</param>
public sealed record PhysicalDemand(Power Idle, Power Typical, Power Peak)
{
    /// <summary>Watts that a condition adds to whatever else it takes: infrared, heater, wiper.</summary>
    public ImmutableSortedDictionary<LoadCondition, Power> Adds { get; init; } = ImmutableSortedDictionary<LoadCondition, Power>.Empty;

    /// <summary>Watts that it takes in place of the typical ones: a light at full, an amplifier, a boot. Of several the largest counts.</summary>
    public ImmutableSortedDictionary<LoadCondition, Power> Takes { get; init; } = ImmutableSortedDictionary<LoadCondition, Power>.Empty;

    /// <summary>At this air temperature and below its heater runs; null where that is not known.</summary>
    public Temperature? HeaterStartsAt { get; init; }

    /// <summary>How long the boot peak lasts; zero where it has none.</summary>
    public TimeSpan BootLasts { get; init; }

    /// <summary>True where it takes more when it pages.</summary>
    public bool IsSpeaker => Names(LoadCondition.PagingAll);

    /// <summary>True where the condition changes what it takes.</summary>
    public bool Names(LoadCondition condition) => Adds.ContainsKey(condition) || Takes.ContainsKey(condition);
}
