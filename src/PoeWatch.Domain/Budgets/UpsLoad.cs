using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Budgets;

/// <summary>What a designed UPS has to give, and for how long. Pure and thread safe.</summary>
public static class UpsLoad
{
    /// <summary>Watts at its output: for each PSE group behind it the draw and the box itself over its supplies' efficiency, and what else hangs on it.</summary>
    /// <param name="groups">Every group of every switch that it feeds, with the draw of all its ports at the PSE.</param>
    public static Power Of(Ups ups, IEnumerable<(PseGroup Group, Power DrawAtPse)> groups)
    {
        ArgumentNullException.ThrowIfNull(ups);
        ArgumentNullException.ThrowIfNull(groups);
        return groups.Aggregate(
            ups.OtherLoad, static (sum, fed) => sum + UpsRuntime.LoadOf(fed.DrawAtPse, fed.Group.OwnDraw, fed.Group.SupplyEfficiency.Fraction));
    }

    /// <summary>How long it lasts at a load; null where nothing is drawn.</summary>
    public static TimeSpan? Runtime(Ups ups, Power load)
    {
        ArgumentNullException.ThrowIfNull(ups);
        return UpsRuntime.Of(ups.UsableWattHours, ups.InverterEfficiency.Fraction, load, ups.BatteryHealth.Fraction);
    }
}
