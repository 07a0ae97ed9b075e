using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>What the design says that its devices may need, at their inputs. Pure and thread safe.</summary>
public static class DesignDemands
{
    private static readonly ImmutableArray<LoadCase> s_implicit = [new LoadCase("design", "Design", null, [])];

    /// <summary>The load cases of a design; where it has none, one called <c>design</c> that can come at any time.</summary>
    public static ImmutableArray<LoadCase> CasesOf(DesignModel design)
    {
        ArgumentNullException.ThrowIfNull(design);
        return design.LoadCases.IsDefaultOrEmpty ? s_implicit : design.LoadCases;
    }

    /// <summary>Demand by device id in one load case, for the whole site.</summary>
    public static FrozenDictionary<string, Power> For(DesignModel design, LoadCase loadCase)
    {
        ArgumentNullException.ThrowIfNull(design);
        return design.Devices.Values.ToFrozenDictionary(
            device => device.Id, device => Of(design.DeviceTypes[device.TypeId], loadCase), StringComparer.Ordinal);
    }

    /// <summary>Demand of one device of a type in a load case.</summary>
    public static Power Of(DeviceType type, LoadCase loadCase)
    {
        ArgumentNullException.ThrowIfNull(type);
        ArgumentNullException.ThrowIfNull(loadCase);
        return type.DemandByLoadCase.TryGetValue(loadCase.Id, out var special) ? special : type.Demand;
    }
}
