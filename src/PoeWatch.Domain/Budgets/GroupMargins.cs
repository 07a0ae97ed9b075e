using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Budgets;

/// <summary>The limits that the ports of one PSE group share, with their margins. Immutable.</summary>
/// <param name="Budget">The budget less the guard band, in the group's policy.</param>
/// <param name="AllSupplies">All supplies in service (N), less the switch's own draw; null where the design names none.</param>
/// <param name="AfterLoss">The same with the largest supply lost (N+1); null where the design names fewer than two.</param>
/// <param name="Redundancy">Whether <paramref name="AfterLoss"/> counts as a limit: only in an N+1 group.</param>
public sealed record GroupMargins(LimitMargin Budget, LimitMargin? AllSupplies, LimitMargin? AfterLoss, SupplyRedundancy Redundancy)
{
    /// <summary>Every margin that is known, the tightest first; whether it counts or not.</summary>
    public ImmutableArray<LimitMargin> InOrder => Tightest([Budget, AllSupplies, AfterLoss]);

    /// <summary>The limit that one more watt would break first.</summary>
    public LimitMargin Binding => Tightest([Budget, AllSupplies, Redundancy == SupplyRedundancy.NPlusOne ? AfterLoss : null])[0];

    /// <summary>What the supplies leave as far as it counts: with the largest lost in an N+1 group, else all of them; null where the design names none.</summary>
    public LimitMargin? Supplies => Redundancy == SupplyRedundancy.NPlusOne ? AfterLoss ?? AllSupplies : AllSupplies;

    private static ImmutableArray<LimitMargin> Tightest(IEnumerable<LimitMargin?> margins) =>
        [.. margins.OfType<LimitMargin>().OrderBy(static limit => limit.LimitValue - limit.Value)];
}
