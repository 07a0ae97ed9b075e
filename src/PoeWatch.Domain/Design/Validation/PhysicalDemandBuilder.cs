using System.Collections.Immutable;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>What a device type takes by condition.</summary>
internal static class PhysicalDemandBuilder
{
    public static PhysicalDemand Build(ValueReader values, DeviceTypeConfig written, PoeClass poeClass, bool takesExtendedPower)
    {
        var physical = written.Physical;
        var typical = values.Power(physical.TypicalWatts, DesignNumbers.TypicalDemand);
        var boot = values.NumberOrNull(physical.BootPeakWatts, DesignNumbers.BootPeak);
        var takes = ByCondition(values, physical.Takes, DesignNumbers.TakenDemand);
        var bootSeconds = values.Number(physical.BootSeconds, DesignNumbers.BootSeconds);
        var built = new PhysicalDemand(
            Watts(values, physical.IdleWatts, DesignNumbers.IdleDemand) ?? typical,
            typical,
            Watts(values, physical.PeakWatts, DesignNumbers.PeakDemand) ?? HighestPeak(poeClass, takesExtendedPower))
        {
            Adds = ByCondition(values, physical.Adds, DesignNumbers.AddedDemand),
            Takes = boot is { } watts ? takes.SetItem(LoadCondition.ColdStart, Power.FromWatts(watts)) : takes,
            HeaterStartsAt = values.NumberOrNull(physical.HeaterStartsCelsius, DesignNumbers.HeaterStartsCelsius) is { } celsius
                ? Temperature.FromCelsius(celsius)
                : null,
            BootLasts = boot is null ? TimeSpan.Zero : TimeSpan.FromSeconds(bootSeconds),
        };
        if (!values.Problems.IsTainted(values.Element))
        {
            CheckOrder(values, physical, built);
        }

        return built;
    }

    // How much more than its class a device with extended power may take, its channel decides.
    private static Power HighestPeak(PoeClass poeClass, bool takesExtendedPower) => takesExtendedPower
        ? Power.FromWatts(DesignNumbers.PortCeilingWatts)
        : PoeTables.LimitsOf(poeClass, PoeClause.Clause145).PdMaximumInput;

    /// <summary>All watts that are written, whatever they are for.</summary>
    public static IEnumerable<Written<string>?> Watts(PhysicalDemandConfig physical) =>
    [
        physical.IdleWatts, physical.TypicalWatts, physical.PeakWatts, physical.BootPeakWatts,
        .. physical.Adds.Select(a => a.Figure), .. physical.Takes.Select(t => t.Figure),
    ];

    private static Power? Watts(ValueReader values, Written<string>? written, NumberKey key) =>
        values.NumberOrNull(written, key) is { } watts ? Power.FromWatts(watts) : null;

    private static ImmutableSortedDictionary<LoadCondition, Power> ByCondition(ValueReader values, ImmutableArray<ConditionConfig> written, NumberKey key)
    {
        var found = ImmutableSortedDictionary.CreateBuilder<LoadCondition, Power>();
        foreach (var (condition, figure) in written)
        {
            found[values.Choice(condition, DesignChoices.TypeCondition)] = values.Power(figure, key);
        }

        return found.ToImmutable();
    }

    private static void CheckOrder(ValueReader values, PhysicalDemandConfig written, PhysicalDemand built)
    {
        if (built.Idle > built.Typical)
        {
            Report(written.IdleWatts!, $"It takes {built.Idle} when idle, more than the typical {built.Typical}.", "Lower 'idle-w', or raise 'typical-w'.");
        }

        if (Power.Max(built.Typical, built.Takes.Values.Append(Power.Zero).Max()) > built.Peak && written.PeakWatts is { } peak)
        {
            Report(peak, $"The peak of {built.Peak} is below what the type takes typically or in one condition.", "Raise 'peak-w' to the most that it ever takes.");
        }

        if (built.HeaterStartsAt is not null && !built.Names(LoadCondition.Cold))
        {
            Report(written.HeaterStartsCelsius!, "A heater starts that takes nothing.", "Write what it takes under 'adds-w' or 'takes-w' as 'cold', or remove 'heater-starts-c'.");
        }

        void Report(Written<string> at, string message, string remedy)
        {
            values.Problems.Taint(values.Element);
            values.Problems.Error("figures-contradict", at, values.Element, message, remedy);
        }
    }
}
