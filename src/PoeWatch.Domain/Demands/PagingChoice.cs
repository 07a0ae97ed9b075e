using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Demands;

/// <summary>Who pages: nobody, one speaker, the speakers of a group, all. Immutable; <c>default</c> is nobody.</summary>
/// <param name="Condition">Unknown for nobody, else a paging condition.</param>
/// <param name="Name">Device id or paging group; empty for all, and for the speakers that the design puts into no group.</param>
public readonly record struct PagingChoice(LoadCondition Condition, string Name)
{
    public static PagingChoice Nobody { get; } = new(LoadCondition.Unknown, "");

    public static PagingChoice Everybody { get; } = new(LoadCondition.PagingAll, "");

    /// <summary>True where a device of a paging type pages in this choice.</summary>
    public bool Includes(PoweredDevice speaker)
    {
        ArgumentNullException.ThrowIfNull(speaker);
        return Condition switch
        {
            LoadCondition.PagingAll => true,
            LoadCondition.PagingGroup => (speaker.PagingGroup ?? "") == Name,
            LoadCondition.PagingOne => speaker.Id == Name,
            _ => false,
        };
    }

    /// <summary>The choices that a load case leaves among some speakers: at least one. Of several paging conditions the widest counts.</summary>
    public static ImmutableArray<PagingChoice> Of(LoadCase loadCase, IEnumerable<PoweredDevice> speakers)
    {
        ArgumentNullException.ThrowIfNull(loadCase);
        return ConditionOf(loadCase) switch
        {
            LoadCondition.PagingAll => [Everybody],
            LoadCondition.PagingGroup => OrNobody(speakers.Select(s => new PagingChoice(LoadCondition.PagingGroup, s.PagingGroup ?? ""))),
            LoadCondition.PagingOne => OrNobody(speakers.Select(s => new PagingChoice(LoadCondition.PagingOne, s.Id))),
            _ => [Nobody],
        };
    }

    /// <summary>The widest paging condition of a load case; unknown where nobody pages.</summary>
    public static LoadCondition ConditionOf(LoadCase loadCase)
    {
        ArgumentNullException.ThrowIfNull(loadCase);
        return loadCase.Conditions.Contains(LoadCondition.PagingAll) ? LoadCondition.PagingAll
            : loadCase.Conditions.Contains(LoadCondition.PagingGroup) ? LoadCondition.PagingGroup
            : loadCase.Conditions.Contains(LoadCondition.PagingOne) ? LoadCondition.PagingOne
            : LoadCondition.Unknown;
    }

    private static ImmutableArray<PagingChoice> OrNobody(IEnumerable<PagingChoice> choices)
    {
        ImmutableArray<PagingChoice> found = [.. choices.Distinct()];
        return found.IsEmpty ? [Nobody] : found;
    }
}
