using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Budgets;

/// <summary>How long a battery feeds a switch and all that hangs on it. Pure and thread safe.</summary>
public static class UpsRuntime
{
    /// <summary>Share of its watt-hours that an aged battery still has (common practice, no source).</summary>
    public const double AgedBattery = 0.8;

    /// <summary>Output over input of a supply (common practice, no source).</summary>
    public const double SupplyEfficiency = 0.9;

    private const double LongestHours = 24.0 * 365.0;

    /// <summary>Watts that the battery's inverter gives: what the ports draw and the switch itself, over the supply's efficiency.</summary>
    /// <param name="supplyEfficiency">Above 0, at most 1.</param>
    public static Power LoadOf(Power drawAtPse, Power ownDraw, double supplyEfficiency = SupplyEfficiency)
    {
        RefuseUnlessShare(supplyEfficiency, nameof(supplyEfficiency));
        return (drawAtPse + ownDraw) / supplyEfficiency;
    }

    /// <summary>Usable watt-hours times the inverter's efficiency over the load (common practice, no source), at most a year; null where nothing is drawn.</summary>
    /// <param name="usableWattHours">Above 0, as the battery has them when new.</param>
    /// <param name="inverterEfficiency">Above 0, at most 1.</param>
    /// <param name="batteryHealth">Share of the watt-hours that is left with age: above 0, at most 1; see <see cref="AgedBattery"/>.</param>
    public static TimeSpan? Of(double usableWattHours, double inverterEfficiency, Power load, double batteryHealth = 1.0)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(usableWattHours);
        RefuseUnlessShare(inverterEfficiency, nameof(inverterEfficiency));
        RefuseUnlessShare(batteryHealth, nameof(batteryHealth));
        return load <= Power.Zero
            ? null
            : TimeSpan.FromHours(Math.Min(LongestHours, usableWattHours * batteryHealth * inverterEfficiency / load.Watts));
    }

    private static void RefuseUnlessShare(double share, string name)
    {
        if (!(share is > 0.0 and <= 1.0))
        {
            throw new ArgumentOutOfRangeException(name, share, "Give a share above 0 and at most 1.");
        }
    }
}
