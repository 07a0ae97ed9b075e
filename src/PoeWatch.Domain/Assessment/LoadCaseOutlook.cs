using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Assessment;

/// <summary>What keeps a load case away.</summary>
public enum CaseHindrance
{
    /// <summary>Nothing: it may come.</summary>
    None = 0,

    /// <summary>Its months.</summary>
    Months = 1,

    /// <summary>Its hours.</summary>
    Hours = 2,

    /// <summary>One of its conditions does not hold.</summary>
    Condition = 3,

    /// <summary>Another case, alike but for its temperature, is as cold as it gets already.</summary>
    MilderCase = 4,
}

/// <summary>Whether a load case may come, or what keeps it away. <c>default</c>: it may come.</summary>
/// <param name="Condition">The condition that keeps it away; Unknown where it is none.</param>
public readonly record struct CaseChance(CaseHindrance Hindrance, LoadCondition Condition)
{
    public static CaseChance Open => default;

    public bool MayCome => Hindrance == CaseHindrance.None;

    public static CaseChance Without(LoadCondition condition) => new(CaseHindrance.Condition, condition);
}

/// <summary>One load case: whether it may be in force now, can still come today, can still come this season. Each includes the one before.</summary>
public sealed record CaseOutlook(LoadCase Case, CaseChance Now, CaseChance Today, CaseChance Season);

/// <summary>
/// What of the load cases counts at a moment, as positions in the order of the design. None of the three is ever empty, and each holds the one before. Immutable.
/// </summary>
/// <param name="InForce">May be in force now; where no case may, what can still come this season counts, so that no draw is called too high for want of a case.</param>
/// <param name="Today">Can be in force before the site's day is over.</param>
/// <param name="Season">Can be in force before the next month is over.</param>
/// <param name="Cases">Case by case, in the order of the design.</param>
public sealed record LoadCaseOutlook(
    ImmutableArray<int> InForce, ImmutableArray<int> Today, ImmutableArray<int> Season, ImmutableArray<CaseOutlook> Cases);
