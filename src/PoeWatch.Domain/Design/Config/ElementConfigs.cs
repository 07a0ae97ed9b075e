using System.Collections.Immutable;

namespace PoeWatch.Domain.Design.Config;

/// <summary>How to reach an agent, as written. A switch carries these keys itself; injectors and pass-through switches under <c>agent</c>.</summary>
public sealed record AgentConfig(WrittenAt At)
{
    public Written<string>? Address { get; init; }

    public Written<string>? Credentials { get; init; }

    public Written<string>? PollPeriod { get; init; }

    public ImmutableArray<Written<string>> AnswersFrom { get; init; } = [];

    public DrawColumnConfig? DrawColumn { get; init; }
}

/// <summary>A draw column as written.</summary>
public sealed record DrawColumnConfig(WrittenAt At)
{
    public Written<string>? Oid { get; init; }

    public Written<string>? Unit { get; init; }

    public Written<string>? Index { get; init; }
}

/// <summary>A switch as written.</summary>
public sealed record SwitchConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Name { get; init; }

    public Written<string>? Pole { get; init; }

    public required AgentConfig Agent { get; init; }

    public UplinkConfig? Uplink { get; init; }

    public ImmutableArray<PseGroupConfig> Groups { get; init; } = [];

    public ImmutableArray<PsePortConfig> Ports { get; init; } = [];
}

/// <summary>An uplink as written.</summary>
public sealed record UplinkConfig(WrittenAt At)
{
    public Written<string>? Switch { get; init; }

    public Written<string>? Medium { get; init; }

    public Written<string>? LengthMeters { get; init; }
}

/// <summary>A PSE group as written.</summary>
public sealed record PseGroupConfig(WrittenAt At)
{
    public Written<string>? Group { get; init; }

    public Written<string>? PortCount { get; init; }

    public Written<string>? BudgetWatts { get; init; }

    public Written<string>? GuardBandWatts { get; init; }

    public Written<string>? Allocation { get; init; }

    public Written<string>? Redundancy { get; init; }

    public Written<string>? OwnDrawWatts { get; init; }

    public Written<string>? SupplyEfficiencyPercent { get; init; }

    public Written<string>? StartsAtOnce { get; init; }

    public Written<string>? StartIntervalSeconds { get; init; }

    public ImmutableArray<SupplyConfig> Supplies { get; init; } = [];
}

/// <summary>A supply as written.</summary>
public sealed record SupplyConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? RatingWatts { get; init; }
}

/// <summary>A PSE port as written.</summary>
public sealed record PsePortConfig(WrittenAt At)
{
    public Written<string>? Port { get; init; }

    public Written<string>? LimitWatts { get; init; }

    public Written<string>? Class { get; init; }

    public Written<string>? Type { get; init; }

    public Written<string>? Criticality { get; init; }

    public Written<string>? Vlan { get; init; }

    public UpgradeConfig? Upgrade { get; init; }
}

/// <summary>A planned upgrade of a port as written.</summary>
public sealed record UpgradeConfig(WrittenAt At)
{
    public Written<string>? LimitWatts { get; init; }

    public Written<string>? Due { get; init; }
}

/// <summary>An injector as written.</summary>
public sealed record InjectorConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    /// <summary>Names a file of the folder of device types that gives what is not written here.</summary>
    public Written<string>? Kind { get; init; }

    public Written<string>? Source { get; init; }

    public Written<string>? Name { get; init; }

    public Written<string>? RatingWatts { get; init; }

    public Written<string>? OutputVolts { get; init; }

    public Written<string>? Type { get; init; }

    public Written<string>? DataSide { get; init; }

    public Written<string>? DataSideLengthMeters { get; init; }

    public AgentConfig? Agent { get; init; }

    public Written<string>? AgentPort { get; init; }
}

/// <summary>An extender as written.</summary>
public sealed record ExtenderConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    /// <summary>Names a file of the folder of device types that gives what is not written here.</summary>
    public Written<string>? Kind { get; init; }

    public Written<string>? Source { get; init; }

    public Written<string>? Name { get; init; }

    public Written<string>? Pole { get; init; }

    public Written<string>? InputLimitWatts { get; init; }

    public Written<string>? OwnDrawWatts { get; init; }

    public Written<string>? Outputs { get; init; }

    public Written<string>? OutputLimitWatts { get; init; }
}

/// <summary>A pass-through switch as written.</summary>
public sealed record PassThroughSwitchConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    /// <summary>Names a file of the folder of device types that gives what is not written here.</summary>
    public Written<string>? Kind { get; init; }

    public Written<string>? Source { get; init; }

    public Written<string>? Name { get; init; }

    public Written<string>? Pole { get; init; }

    public Written<string>? InputLimitWatts { get; init; }

    public Written<string>? OwnDrawWatts { get; init; }

    public Written<string>? EfficiencyPercent { get; init; }

    public Written<string>? OutputVolts { get; init; }

    public Written<string>? Outputs { get; init; }

    public Written<string>? OutputLimitWatts { get; init; }

    public Written<string>? TotalLimitWatts { get; init; }

    public AgentConfig? Agent { get; init; }
}

/// <summary>A cable as written.</summary>
public sealed record CableConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? From { get; init; }

    public Written<string>? To { get; init; }

    public Written<string>? LengthMeters { get; init; }

    public Written<string>? Pairs { get; init; }

    public Written<string>? MeasuredLoopOhms { get; init; }

    public Written<string>? MeasuredAtCelsius { get; init; }

    public InstallationConfig Installation { get; init; } = new(At);
}
