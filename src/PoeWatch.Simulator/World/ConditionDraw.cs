using System.Collections.Immutable;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.World;

/// <summary>What a device whose type follows conditions needs under the simulated sky: dark by night, its heater by its own threshold, the rest where a load case is forced.</summary>
internal sealed class ConditionDraw(DesignModel design)
{
    private static readonly ImmutableSortedSet<LoadCondition> Dark = [LoadCondition.Dark];

    // Of paging to one or to a group the first choice pages, always the same one.
    private readonly ImmutableArray<PoweredDevice> _speakers =
    [
        .. design.Devices.Values.Where(device => design.DeviceTypes[device.TypeId].Physical?.IsSpeaker == true).OrderBy(device => device.Id, StringComparer.Ordinal),
    ];

    /// <param name="forcedDemand">What forced load cases make it need, where that is more; else null.</param>
    public Power DemandInForce(
        PoweredDevice device, DeviceType type, PhysicalDemand physical, DateTime local, Temperature air, IReadOnlySet<string> forced, out Power? forcedDemand)
    {
        var sky = new LoadCase("", "", null, [])
        {
            Conditions = SimulatedSky.IsNight(local) ? Dark : [],
            Ambient = physical.HeaterStartsAt is null ? null : air,
        };
        var demand = DeviceDemand.Of(type, sky, pages: false);
        forcedDemand = null;
        foreach (var loadCase in design.LoadCases.Where(loadCase => forced.Contains(loadCase.Id)))
        {
            var asked = DeviceDemand.Of(type, loadCase, PagingChoice.Of(loadCase, _speakers)[0].Includes(device));
            if (asked > demand && (forcedDemand is not { } known || asked > known))
            {
                forcedDemand = asked;
            }
        }

        return demand;
    }
}
