using System.Collections.Immutable;

namespace PoeWatch.Domain.Design.Config;

/// <summary>
/// A design as somebody wrote it: every scalar is still text with its place, null where nothing was written. Nothing here is checked;
/// <see cref="DesignValidator"/> turns it into a <see cref="DesignModel"/> or into problems. Immutable.
/// </summary>
/// <param name="At">Start of the file.</param>
public sealed record DesignConfig(WrittenAt At)
{
    public Written<string>? Format { get; init; }

    public SiteConfig? Site { get; init; }

    public HeadroomConfig? Headroom { get; init; }

    public ImmutableArray<SwitchConfig> Switches { get; init; } = [];

    public ImmutableArray<UpsConfig> UpsUnits { get; init; } = [];

    public ImmutableArray<InjectorConfig> Injectors { get; init; } = [];

    public ImmutableArray<ExtenderConfig> Extenders { get; init; } = [];

    public ImmutableArray<PassThroughSwitchConfig> PassThroughSwitches { get; init; } = [];

    /// <summary>What counts of every cable that does not say otherwise.</summary>
    public InstallationConfig? CableDefaults { get; init; }

    public ImmutableArray<CableConfig> Cables { get; init; } = [];

    public ImmutableArray<PoleConfig> Poles { get; init; } = [];

    public ImmutableArray<DeviceTypeConfig> DeviceTypes { get; init; } = [];

    public ImmutableArray<DeviceConfig> Devices { get; init; } = [];

    /// <summary>Ids of types that could be named without being described, for hints.</summary>
    public ImmutableArray<string> FolderTypeIds { get; init; } = [];

    public ImmutableArray<LoadCaseConfig> LoadCases { get; init; } = [];

    /// <summary>Names of standard load cases, or the word for all of them.</summary>
    public ImmutableArray<Written<string>> StandardLoadCases { get; init; } = [];

    public ConditionsConfig? Conditions { get; init; }

    public ImmutableArray<PortScheduleConfig> PortSchedules { get; init; } = [];

    public ImmutableArray<PlannedWorkConfig> Maintenance { get; init; } = [];
}

/// <summary>The site as written.</summary>
public sealed record SiteConfig(WrittenAt At)
{
    public Written<string>? Name { get; init; }

    public Written<string>? TimeZone { get; init; }

    public CoordinatesConfig? Coordinates { get; init; }
}

/// <summary>A place on the earth as written.</summary>
public sealed record CoordinatesConfig(WrittenAt At)
{
    public Written<string>? LatitudeDegrees { get; init; }

    public Written<string>? LongitudeDegrees { get; init; }
}

/// <summary>A pole as written.</summary>
public sealed record PoleConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Name { get; init; }

    public CoordinatesConfig? Coordinates { get; init; }
}

/// <summary>A device type as written.</summary>
public sealed record DeviceTypeConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Name { get; init; }

    public Written<string>? Class { get; init; }

    public Written<string>? DemandWatts { get; init; }

    public Written<string>? ExtendedPower { get; init; }

    public ImmutableArray<LoadCaseDemandConfig> Demands { get; init; } = [];

    public PhysicalDemandConfig Physical { get; init; } = new();

    public Written<string>? Source { get; init; }
}

/// <summary>What a device type may need in one load case, as written.</summary>
public sealed record LoadCaseDemandConfig(Written<string> LoadCase, Written<string> Watts);

/// <summary>A device as written.</summary>
public sealed record DeviceConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Name { get; init; }

    public Written<string>? Type { get; init; }

    public Written<string>? Pole { get; init; }

    public Written<string>? Criticality { get; init; }

    public Written<string>? PagingGroup { get; init; }

    public Written<string>? LldpName { get; init; }
}

/// <summary>A load case as written.</summary>
public sealed record LoadCaseConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Name { get; init; }

    public Written<string>? Hours { get; init; }

    public ImmutableArray<Written<string>> Months { get; init; } = [];

    public ImmutableArray<Written<string>> Conditions { get; init; } = [];

    public Written<string>? AmbientCelsius { get; init; }

    public ImmutableArray<ConditionConfig> Coincidence { get; init; } = [];
}

/// <summary>A port schedule as written.</summary>
public sealed record PortScheduleConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Off { get; init; }

    public ImmutableArray<Written<string>> Ports { get; init; } = [];
}

/// <summary>The headroom policy as written.</summary>
public sealed record HeadroomConfig(WrittenAt At)
{
    public HeadroomLevelsConfig? AtRun { get; init; }

    public HeadroomLevelsConfig? AtPort { get; init; }

    public HeadroomLevelsConfig? AtGroup { get; init; }

    public HeadroomLevelsConfig? AtSupply { get; init; }
}

/// <summary>Headroom floors of one place as written.</summary>
public sealed record HeadroomLevelsConfig(WrittenAt At)
{
    public Written<string>? EarlyWatts { get; init; }

    public Written<string>? EarlyPercent { get; init; }

    public Written<string>? LateWatts { get; init; }

    public Written<string>? LatePercent { get; init; }
}
