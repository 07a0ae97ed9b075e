using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.World;

/// <summary>
/// What a healthy device draws at its input: always below its designed demand, with a share of its own, more at night and in
/// the cold, and a little noise. A pure function of seed, device and time.
/// </summary>
/// <remarks>
/// That real draws stay well under the type plate and that infrared and heaters add to it is common practice (power facts of the
/// trade, no source for the shares). A load case counts where its window or months hold now; one that can come at any time
/// (paging, cold start) comes only where it is forced.
/// </remarks>
internal sealed class DeviceDraw(DesignModel design, Chance chance)
{
    private static readonly TimeSpan SlowPeriod = TimeSpan.FromMinutes(11);
    private static readonly TimeSpan FastPeriod = TimeSpan.FromSeconds(7);

    // 0.75 + 0.08 + 0.12 = 0.95, times 1.04 of noise: never more than 0.988 of the demand.
    private const double LowestShare = 0.60;
    private const double ShareSpread = 0.15;
    private const double NightShare = 0.08;
    private const double ColdShare = 0.12;

    private readonly ConditionDraw _conditions = new(design);

    /// <param name="at">Real time: noise runs on it whatever the sun's speed.</param>
    /// <param name="local">Site time under the simulated sky.</param>
    /// <param name="air">Air temperature.</param>
    /// <param name="forced">Load cases that are in force whatever their windows say.</param>
    public Power At(PoweredDevice device, DateTimeOffset at, DateTime local, Temperature air, IReadOnlySet<string> forced)
    {
        var type = design.DeviceTypes[device.TypeId];
        // Not all lights go on in the same minute: each device sees dusk and dawn up to ten minutes late.
        var seen = local.AddMinutes(-10 * chance.Share("dusk " + device.Id));
        var cold = SimulatedSky.HeaterShare(air);
        Power? forcedDemand;
        var demand = type.Physical is { } physical
            ? _conditions.DemandInForce(device, type, physical, seen, air, forced, out forcedDemand)
            : DemandInForce(type, seen, cold, forced, out forcedDemand);
        if (forcedDemand is not null)
        {
            // Paging and cold start bring a device close to what the design says it may need.
            return Power.Max(forcedDemand.Value * (0.97 + (0.02 * Noise(device, at))), Power.Zero);
        }

        var share = LowestShare + (ShareSpread * chance.Share("share " + device.Id))
            + (SimulatedSky.IsNight(seen) ? NightShare : 0)
            + (ColdShare * cold);
        return demand * (share * (1 + (0.04 * Noise(device, at))));
    }

    private double Noise(PoweredDevice device, DateTimeOffset at) =>
        (0.75 * chance.Swing("slow " + device.Id, at, SlowPeriod)) + (0.25 * chance.Swing("fast " + device.Id, at, FastPeriod));

    private Power DemandInForce(
        DeviceType type, DateTime local, double cold, IReadOnlySet<string> forced, out Power? forcedDemand)
    {
        forcedDemand = null;
        Power? daily = null;
        Power? seasonal = null;
        foreach (var loadCase in design.LoadCases)
        {
            if (!type.DemandByLoadCase.TryGetValue(loadCase.Id, out var demand))
            {
                continue;
            }

            if (forced.Contains(loadCase.Id))
            {
                forcedDemand = Larger(forcedDemand, demand);
            }
            else if (loadCase.Months.Count > 0 && loadCase.Months.Contains(local.Month) && InWindow(loadCase, local))
            {
                seasonal = Larger(seasonal, demand);
            }
            else if (loadCase.Months.Count == 0 && loadCase.Window is not null && InWindow(loadCase, local))
            {
                daily = Larger(daily, demand);
            }
        }

        var basis = daily ?? type.Demand;
        // A season's case is a reserve for its coldest hour: it is drawn as far as it is cold.
        return seasonal is { } most && most > basis ? basis + ((most - basis) * cold) : basis;
    }

    private static bool InWindow(LoadCase loadCase, DateTime local) =>
        loadCase.Window is not { } window || window.Contains(TimeOnly.FromDateTime(local));

    private static Power Larger(Power? known, Power other) => known is { } power ? Power.Max(power, other) : other;
}
