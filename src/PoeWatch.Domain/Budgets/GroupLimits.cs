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

    /// <summary>The group's margins. Supplies only where the design names them, N+1 only where it names two or more.</summary>
    /// <param name="pseId">For the names: <c>quay-west</c>.</param>
    /// <param name="reserved">What all ports set aside in the group's policy, at the PSE (<see cref="PortReserve"/>).</param>
    /// <param name="draw">What all ports draw together, at the PSE: supplies give what flows, whatever was set aside.</param>
    public static GroupMargins Of(string pseId, PseGroup group, Power reserved, Power draw)
    {
        ArgumentNullException.ThrowIfNull(group);
        var element = string.Create(CultureInfo.InvariantCulture, $"{pseId}:{group.Number}");
        Power ForPorts(int lost) => SupplyPower.ForPorts(SupplyPower.AfterLossOf(lost, group.Supplies), group.OwnDraw);
        return new GroupMargins(
            Margin(LimitKind.GroupBudget, element, Usable(group), reserved, Subject(element, group.Allocation)),
            group.Supplies.IsDefaultOrEmpty ? null : Margin(LimitKind.Supply, element, ForPorts(0), draw, $"All supplies of group {element} give"),
            group.Supplies is { IsDefault: false, Length: > 1 }
                ? Margin(LimitKind.Supply, element, ForPorts(1), draw, $"With its largest supply lost (N+1), group {element} draws")
                : null,
            group.Redundancy);
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
        var verdict = isBroken ? $"{Watts(value - limit)} too much" : $"{Watts(limit - value)} left";
        return new LimitMargin(kind, element, limit.Watts, value.Watts, "W", ByDesign)
        {
            IsBroken = isBroken,
            Sentence = $"{subject} {Watts(value)}, at most {Watts(limit)}: {verdict}.",
        };
    }

    private static string Watts(Power power) => string.Create(CultureInfo.InvariantCulture, $"{power.Watts:0.##} W");
}
