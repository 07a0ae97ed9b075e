using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Conditions;

/// <summary>What a design says of how its conditions come to be known. Immutable.</summary>
/// <param name="DarkBelowDegrees">Dark where the middle of the sun stands lower than this, -18..5 degrees; -6 (end of civil twilight) by default.</param>
/// <param name="ColdBelow">Cold at this air temperature and below; null: where the first heater of the design starts.</param>
/// <param name="Climate">Null where the design states none.</param>
/// <param name="Thermometers">In the order of the design.</param>
public sealed record ConditionPlan(double DarkBelowDegrees, Temperature? ColdBelow, SiteClimate? Climate, ImmutableArray<Thermometer> Thermometers)
{
    /// <summary>End of civil twilight.</summary>
    public const double DarkBelowDegreesDefault = -6;

    /// <summary>Nothing said.</summary>
    public static ConditionPlan Nothing { get; } = new(DarkBelowDegreesDefault, null, null, []);

    /// <summary>Months, 1..12, in which rain or spray is to be expected; empty: any.</summary>
    public ImmutableSortedSet<int> WetMonths { get; init; } = [];

    /// <summary>True where it may rain in one of some months.</summary>
    public bool MayBeWetIn(params ReadOnlySpan<int> months)
    {
        var may = WetMonths.IsEmpty;
        foreach (var month in months)
        {
            may |= WetMonths.Contains(month);
        }

        return may;
    }

    /// <summary>Where heaters of outdoor devices start at the latest: common practice, no source. Counts where neither the design nor its types say.</summary>
    public static Temperature ColdBelowDefault { get; } = Temperature.FromCelsius(5);

    /// <summary>When it is dark there; null where the site's coordinates are not given.</summary>
    public Darkness? DarknessAt(Site site)
    {
        ArgumentNullException.ThrowIfNull(site);
        return site.Coordinates is { } place ? new Darkness(place, DarkBelowDegrees) : null;
    }
}

/// <summary>The air temperatures to be expected, month by month. Immutable.</summary>
/// <param name="Coldest">January first, twelve.</param>
/// <param name="Warmest">January first, twelve; none below the coldest of its month.</param>
public sealed record SiteClimate(ImmutableArray<Temperature> Coldest, ImmutableArray<Temperature> Warmest)
{
    /// <summary>The coldest to be expected in some months, 1..12; at least one.</summary>
    public Temperature ColdestOf(params ReadOnlySpan<int> months)
    {
        var coldest = Coldest[months[0] - 1];
        foreach (var month in months)
        {
            coldest = Coldest[month - 1].CompareTo(coldest) < 0 ? Coldest[month - 1] : coldest;
        }

        return coldest;
    }
}

/// <summary>A temperature that an agent shows under RFC 3433 (ENTITY-SENSOR-MIB). One of index and name is given.</summary>
/// <param name="PseId">The polled element whose agent shows it.</param>
/// <param name="PhysicalIndex">entPhysicalIndex.</param>
/// <param name="PhysicalName">entPhysicalName, to be found in the agent.</param>
/// <param name="Cabinet">What encloses it; null where it hangs in the open air and counts for the whole site.</param>
public sealed record Thermometer(string Id, string PseId, int? PhysicalIndex, string? PhysicalName, string? Cabinet);
