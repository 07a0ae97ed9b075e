using System.Collections.Immutable;

namespace PoeWatch.Domain.Design.Config;

/// <summary>What a device type takes by condition, as written in the type's own keys; nothing written leaves every value null.</summary>
public sealed record PhysicalDemandConfig
{
    public Written<string>? IdleWatts { get; init; }

    public Written<string>? TypicalWatts { get; init; }

    public Written<string>? PeakWatts { get; init; }

    /// <summary>Watts on top, by condition.</summary>
    public ImmutableArray<ConditionConfig> Adds { get; init; } = [];

    /// <summary>Watts in place of the typical ones, by condition.</summary>
    public ImmutableArray<ConditionConfig> Takes { get; init; } = [];

    public Written<string>? HeaterStartsCelsius { get; init; }

    public Written<string>? BootPeakWatts { get; init; }

    public Written<string>? BootSeconds { get; init; }
}

/// <summary>A figure beside a condition, as written.</summary>
public sealed record ConditionConfig(Written<string> Condition, Written<string> Figure);
