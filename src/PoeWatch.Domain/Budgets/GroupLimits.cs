using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Budgets;

/// <summary>
/// The limits that the ports of one PSE group share: its budget less the guard band, in the group's allocation policy; its supplies all in service (N) and
/// with the largest one lost (N+1). Pure and thread safe.
/// </summary>
public static class GroupLimits
{
    private const string ByDesign = "limit given in the design";

    /// <summary>What may be allocated or drawn together.</summary>
    public static Power Usable(PseGroup group)
    {
        ArgumentNullException.ThrowIfNull(group);
        return group.Budget - group.GuardBand;
    }

    /// <summary>What is left of it with the largest supply lost. Where the design names no supplies nothing is known of them, and it stands.</summary>
    public static Power UsableAfterLoss(PseGroup group)
    {
        ArgumentNullException.ThrowIfNull(group);
        return group.Supplies.IsDefaultOrEmpty
            ? Usable(group)
            : Power.Min(group.Budget, SupplyPower.ForPorts(SupplyPower.AfterLossOf(1, group.Supplies), group.OwnDraw)) - group.GuardBand;
    }

    /// <summary>The group's margins, the tightest first. Supplies only where the design names them, N+1 only where it names two or more.</summary>
    /// <param name="pseId">For the names: <c>quay-west</c>.</param>
    /// <param name="reserves">What each port sets aside in the group's policy, at the PSE (<see cref="PortReserve"/>).</param>
    /// <param name="draw">What all ports draw together, at the PSE: supplies give what flows, whatever was set aside.</param>
    public static ImmutableArray<LimitMargin> Of(string pseId, PseGroup group, IEnumerable<Power> reserves, Power draw)
    {
        ArgumentNullException.ThrowIfNull(group);
        ArgumentNullException.ThrowIfNull(reserves);
        var element = string.Create(CultureInfo.InvariantCulture, $"{pseId}:{group.Number}");
        var reserved = reserves.Aggregate(Power.Zero, static (sum, reserve) => sum + reserve);
        var limits = new List<LimitMargin> { Margin(LimitKind.GroupBudget, element, Usable(group), reserved, Subject(element, group.Allocation)) };
        if (!group.Supplies.IsDefaultOrEmpty)
        {
            limits.Add(Margin(LimitKind.Supply, element, SupplyPower.ForPorts(SupplyPower.Together(group.Supplies), group.OwnDraw), draw, $"All supplies of group {element} give"));
        }

        if (group.Supplies is { IsDefault: false, Length: > 1 })
        {
            limits.Add(Margin(
                LimitKind.Supply, element, SupplyPower.ForPorts(SupplyPower.AfterLossOf(1, group.Supplies), group.OwnDraw), draw,
                $"With its largest supply lost (N+1), group {element} draws"));
        }

        return [.. limits.OrderBy(static limit => limit.LimitValue - limit.Value)];
    }

    private static string Subject(string element, AllocationPolicy policy) => policy switch
    {
        AllocationPolicy.ByClass => $"Group {element} sets aside by class",
        AllocationPolicy.ByLimit => $"Group {element} sets aside by configured limit",
        _ => $"Group {element} draws",
    };

    private static LimitMargin Margin(LimitKind kind, string element, Power limit, Power value, string subject)
    {
        var isBroken = value > limit;
        var verdict = isBroken ? $"{value - limit} too much" : $"{limit - value} left";
        return new LimitMargin(kind, element, limit.Watts, value.Watts, "W", ByDesign)
        {
            IsBroken = isBroken,
            Sentence = $"{subject} {value}, at most {limit}: {verdict}.",
        };
    }
}
