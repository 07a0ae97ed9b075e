using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Budgets;

/// <summary>What the supplies behind a PSE group leave for its ports. Pure and thread safe.</summary>
public static class SupplyPower
{
    /// <summary>All supplies together.</summary>
    public static Power Together(IEnumerable<Supply> supplies)
    {
        ArgumentNullException.ThrowIfNull(supplies);
        return supplies.Aggregate(Power.Zero, static (sum, supply) => sum + supply.Rating);
    }

    /// <summary>What remains when some are lost, the largest ones: N+1 means 1. Zero where none remains. Common practice, no source.</summary>
    /// <param name="lost">0 or more.</param>
    public static Power AfterLossOf(int lost, IEnumerable<Supply> supplies)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(lost);
        ArgumentNullException.ThrowIfNull(supplies);
        return Together(supplies.OrderByDescending(static supply => supply.Rating).Skip(lost));
    }

    /// <summary>What the ports of a switch may draw: its supplies less what the switch needs itself. Common practice, no source.</summary>
    public static Power ForPorts(Power supplies, Power ownDraw) => Power.Max(Power.Zero, supplies - ownDraw);

    /// <summary>The budget that holds with these supplies in service: the designed one, or what they leave for the ports where that is less.</summary>
    /// <param name="designed">The group's supplies by design. Empty: nothing is known of them, so the budget stands as it is.</param>
    /// <param name="isInService">False for a supply that is lost.</param>
    /// <param name="ownDraw">What the switch takes for itself first; 0 or more.</param>
    public static Power BudgetWith(Power budget, ImmutableArray<Supply> designed, Func<Supply, bool> isInService, Power ownDraw = default) =>
        designed.IsDefaultOrEmpty ? budget : Power.Min(budget, ForPorts(Together(designed.Where(isInService)), ownDraw));
}
