using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>What the design says that its devices may need, at their inputs. Pure and thread safe.</summary>
public static class DesignDemands
{
    private static readonly ImmutableArray<LoadCase> s_implicit = [StandardLoadCases.Unnamed];

    /// <summary>The load cases of a design; where it has none, one called <c>design</c> in which every condition holds at once.</summary>
    public static ImmutableArray<LoadCase> CasesOf(DesignModel design)
    {
        ArgumentNullException.ThrowIfNull(design);
        return design.LoadCases.IsDefaultOrEmpty ? s_implicit : design.LoadCases;
    }

    /// <summary>The most that each device needs in one load case, by device id. Not all of it need coincide: of speakers only some may page.</summary>
    public static FrozenDictionary<string, Power> For(DesignModel design, LoadCase loadCase)
    {
        ArgumentNullException.ThrowIfNull(design);
        return design.Devices.Values.ToFrozenDictionary(
            device => device.Id, device => Of(design.DeviceTypes[device.TypeId], loadCase), StringComparer.Ordinal);
    }

    /// <summary>The most that one device of a type needs in a load case.</summary>
    public static Power Of(DeviceType type, LoadCase loadCase) => DeviceDemand.Most(type, loadCase);
}
