using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>What the sum of the ports says of the units when it is held against the group's own figure.</summary>
internal enum UnitVerdict
{
    /// <summary>No group figure, a port without a draw, or too few watts to tell.</summary>
    Unchecked = 0,

    /// <summary>The units agree. That proves units only: an allocation agrees with a sum of allocations too.</summary>
    Agrees,

    /// <summary>The ports count in another unit than was thought.</summary>
    PortsWrong,

    /// <summary>The group counts in another unit than RFC 3621 says.</summary>
    TotalWrong,

    /// <summary>One of the two counts in another unit, and nothing says which.</summary>
    Undecided,

    /// <summary>The group's figure is the sum of allocations.</summary>
    TotalIsAllocation,

    /// <summary>Neither alike nor a power of ten apart.</summary>
    Differs,
}

/// <summary>The ports of a group and its own figure, in one poll.</summary>
/// <param name="Sum">Draws of all ports.</param>
/// <param name="Delivering">How many ports deliver.</param>
/// <param name="Unknown">How many of those have no draw.</param>
/// <param name="AboveCeiling">How many are more than a tenth above what they may draw at all.</param>
/// <param name="Resolution">Step of the ports' draws.</param>
/// <param name="Total">pethMainPseConsumptionPower as the agent writes it, taken as watts; null where it does not say.</param>
/// <param name="Budget">pethMainPsePower, or null.</param>
/// <param name="Allocated">Sum of the allocations or class ceilings, or null where one is unknown.</param>
internal readonly record struct GroupSums(
    Power Sum, int Delivering, int Unknown, int AboveCeiling, Power Resolution, Power? Total, Power? Budget, Power? Allocated);

/// <summary>Tells wrong units by sums. Pure.</summary>
internal static class UnitSanity
{
    // The group counts whole watts, and the two are not read in the same instant: common practice, no source.
    private const double TotalStepWatts = 1;
    private const double Share = 0.02;

    // Below so many watts rounding looks like a factor of ten.
    private const double WattsToTell = 10;

    // A PD that draws less than 10 mA at 44 V loses its power (IEEE 802.3 clause 33, maintain power signature), so it draws more on average.
    private const double PortWattsMin = 0.1;

    // RFC 3621: pethMainPsePower ends here.
    private const double TotalWattsMax = 65_535;

    private static readonly double[] s_factors = [1000, 0.001, 100, 0.01, 10, 0.1];

    public static (UnitVerdict Verdict, double Factor) Check(GroupSums sums)
    {
        // Without a figure to hold them against, ports that break their ceilings together still show a wrong unit.
        if (sums.Delivering > 0 && sums.AboveCeiling * 2 > sums.Delivering)
        {
            return (UnitVerdict.PortsWrong, double.NaN);
        }

        if (sums.Total is not { } figure || sums.Unknown > 0 || sums.Delivering == 0)
        {
            return (UnitVerdict.Unchecked, 1);
        }

        var (sum, total) = (sums.Sum.Watts, figure.Watts);
        if (IsAlike(sums, sum, total, 1))
        {
            return (UnitVerdict.Agrees, 1);
        }

        // 0 W of a group that delivers is how agents say that they do not measure it.
        if (total <= 0 || Math.Max(sum, total) < WattsToTell)
        {
            return (UnitVerdict.Unchecked, 1);
        }

        foreach (var factor in s_factors)
        {
            if (IsAlike(sums, sum * factor, total, factor))
            {
                return (Side(sums, sum, total, factor), factor);
            }
        }

        if (sum / sums.Delivering < PortWattsMin)
        {
            return (UnitVerdict.PortsWrong, double.PositiveInfinity);
        }

        return (sums.Allocated is { } allocated && total > sum && IsAlike(sums, allocated.Watts, total, 1)
            ? UnitVerdict.TotalIsAllocation
            : UnitVerdict.Differs, 1);
    }

    private static UnitVerdict Side(GroupSums sums, double sum, double total, double factor)
    {
        if (factor > 1)
        {
            return total > TotalWattsMax || (sums.Budget is { } budget && total > budget.Watts * 1.1) ? UnitVerdict.TotalWrong
                : sum / sums.Delivering < PortWattsMin ? UnitVerdict.PortsWrong
                : UnitVerdict.Undecided;
        }

        return sums.AboveCeiling > 0 || (sums.Budget is { } most && sum > most.Watts * 1.1) ? UnitVerdict.PortsWrong : UnitVerdict.Undecided;
    }

    // A port is half its step off at most; a power of ten moves that too, but never so far that everything is alike.
    private static bool IsAlike(GroupSums sums, double scaled, double total, double factor)
    {
        var tolerance = TotalStepWatts + (Share * total) + (sums.Delivering * sums.Resolution.Watts * factor / 2);
        return Math.Abs(scaled - total) <= (factor == 1 ? tolerance : Math.Min(tolerance, Math.Max(TotalStepWatts, total / 10)));
    }
}
