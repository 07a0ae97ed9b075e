using System.Collections.Immutable;

namespace PoeWatch.Domain.Design.Config;

/// <summary>How conditions come to be known, as written.</summary>
public sealed record ConditionsConfig(WrittenAt At)
{
    public Written<string>? DarkBelowDegrees { get; init; }

    public Written<string>? ColdBelowCelsius { get; init; }

    public ClimateConfig? Climate { get; init; }

    public ImmutableArray<Written<string>> WetMonths { get; init; } = [];

    public ImmutableArray<ThermometerConfig> Thermometers { get; init; } = [];
}

/// <summary>The climate as written: January first.</summary>
public sealed record ClimateConfig(WrittenAt At)
{
    public ImmutableArray<Written<string>> ColdestCelsius { get; init; } = [];

    public ImmutableArray<Written<string>> WarmestCelsius { get; init; } = [];
}

/// <summary>A thermometer that an agent serves, as written.</summary>
public sealed record ThermometerConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Agent { get; init; }

    public Written<string>? PhysicalIndex { get; init; }

    public Written<string>? PhysicalName { get; init; }

    public Written<string>? Cabinet { get; init; }
}

/// <summary>Every numeric key of the section 'conditions', as <see cref="DesignNumbers"/> has those of the rest.</summary>
public static class ConditionNumbers
{
    public static NumberKey DarkBelow { get; } = new("dark-below-deg", -18, 5, -6)
    {
        Reason = "Civil twilight ends at -6 degrees, nautical at -12, astronomical at -18; sunset is -0.83.",
    };

    public static NumberKey ColdBelow { get; } = new("cold-below-c", -60, 40);

    public static NumberKey Coldest { get; } = new("coldest-c", -90, 60);

    public static NumberKey Warmest { get; } = new("warmest-c", -90, 60);

    public static NumberKey PhysicalIndex { get; } = new("physical-index", 1, int.MaxValue)
    {
        IsWhole = true, Reason = "entPhysicalIndex of the sensor's row in ENTITY-MIB (RFC 6933), from 1 on.",
    };
}
