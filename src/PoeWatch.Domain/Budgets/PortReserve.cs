using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Budgets;

/// <summary>What a PSE group sets aside for one port, at the PSE. Pure and thread safe.</summary>
public static class PortReserve
{
    /// <summary>
    /// By class: what the assigned class may take at most, never more than the port's limit; where no class is known, the limit. By draw: what flows; where that is
    /// not known, as by class, for the PSE must reckon with it. By limit: the limit.
    /// </summary>
    /// <param name="assigned">Class that the PSE assigned; null where none is known.</param>
    /// <param name="drawAtPse">What flows now; null where unknown.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such policy.</exception>
    public static Power Of(AllocationPolicy policy, PoeClass? assigned, PoeType pseType, Power limit, Power? drawAtPse) => policy switch
    {
        AllocationPolicy.ByClass => ByClass(assigned, pseType, limit),
        AllocationPolicy.ByDraw => drawAtPse ?? ByClass(assigned, pseType, limit),
        AllocationPolicy.ByLimit => limit,
        _ => throw new ArgumentOutOfRangeException(nameof(policy), policy, "Say by class, by draw or by limit."),
    };

    private static Power ByClass(PoeClass? assigned, PoeType pseType, Power limit) =>
        assigned is { } known ? Power.Min(PoeTables.LimitsOf(known, pseType).PseMinimumOutput, limit) : limit;
}
