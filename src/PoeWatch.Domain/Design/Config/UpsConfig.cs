using System.Collections.Immutable;

namespace PoeWatch.Domain.Design.Config;

/// <summary>A UPS as written.</summary>
public sealed record UpsConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Name { get; init; }

    public ImmutableArray<Written<string>> Feeds { get; init; } = [];

    public Written<string>? UsableWattHours { get; init; }

    public Written<string>? InverterEfficiencyPercent { get; init; }

    public Written<string>? BatteryHealthPercent { get; init; }

    public Written<string>? OtherLoadWatts { get; init; }

    public Written<string>? WantedRuntimeMinutes { get; init; }

    public AgentConfig? Agent { get; init; }
}
