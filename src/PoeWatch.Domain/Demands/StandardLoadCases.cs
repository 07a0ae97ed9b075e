using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Demands;

/// <summary>Load cases that a design takes by name, so that nobody need invent them. Without hours or months: each may come whenever its conditions do. Common practice, no source.</summary>
public static class StandardLoadCases
{
    /// <summary>Takes all of them.</summary>
    public const string AllWord = "all";

    /// <summary>Where a design names no load case at all: everything at once but a cold start, because nothing is known.</summary>
    public static LoadCase Unnamed { get; } = Case(
        "design", "Design", LoadCondition.Dark, LoadCondition.Cold, LoadCondition.Wet, LoadCondition.PagingAll, LoadCondition.Motion);

    /// <summary>In the order of the documentation.</summary>
    public static ImmutableArray<LoadCase> All { get; } =
    [
        Case("day", "Mild, quiet day"),
        Case("night", "Night with infrared and lights", LoadCondition.Dark),
        Case("night-motion", "Night with people about", LoadCondition.Dark, LoadCondition.Motion),
        Case("wet-night", "Rain or spray by night", LoadCondition.Dark, LoadCondition.Wet),
        Case("frost-night", "Winter night with heaters", LoadCondition.Dark, LoadCondition.Cold),
        Case("paging-one", "One speaker pages by night", LoadCondition.Dark, LoadCondition.PagingOne),
        Case("paging-group", "One paging group by night", LoadCondition.Dark, LoadCondition.PagingGroup),
        Case("paging-all", "Paging to all by night", LoadCondition.Dark, LoadCondition.PagingAll),
        Case("winter-emergency", "Paging to all in a winter storm by night",
            LoadCondition.Dark, LoadCondition.Cold, LoadCondition.Wet, LoadCondition.PagingAll, LoadCondition.Motion),
        Case("cold-start", "Everything starts after an outage on a winter night", LoadCondition.Dark, LoadCondition.Cold, LoadCondition.ColdStart),
    ];

    private static LoadCase Case(string id, string name, params LoadCondition[] conditions) => new(id, name, null, []) { Conditions = [.. conditions] };
}
