using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design;

/// <summary>
/// The validated design intent of one site: immutable, complete, every reference resolved. A reload builds a whole new one.
/// Built only by <c>DesignValidator</c>.
/// </summary>
public sealed class DesignModel
{
    /// <summary>SHA-256 of the design's text in lower-case hex: names the version in force.</summary>
    public required string Hash { get; init; }

    public required Site Site { get; init; }

    public required FrozenDictionary<string, Pole> Poles { get; init; }

    public required FrozenDictionary<string, PseSwitch> Switches { get; init; }

    /// <summary>Batteries by id, in the order of their ids.</summary>
    public ImmutableSortedDictionary<string, Ups> UpsUnits { get; init; } = ImmutableSortedDictionary<string, Ups>.Empty;

    public required FrozenDictionary<string, Injector> Injectors { get; init; }

    public required FrozenDictionary<string, Extender> Extenders { get; init; }

    public required FrozenDictionary<string, PassThroughSwitch> PassThroughSwitches { get; init; }

    public required FrozenDictionary<string, DeviceType> DeviceTypes { get; init; }

    public required FrozenDictionary<string, PoweredDevice> Devices { get; init; }

    /// <summary>Runs by id, in the order of their source.</summary>
    public required ImmutableSortedDictionary<string, CableRun> CableRuns { get; init; }

    public required ImmutableArray<LoadCase> LoadCases { get; init; }

    public required ImmutableArray<PortSchedule> Schedules { get; init; }

    /// <summary>Work that the design announces.</summary>
    public ImmutableArray<PlannedWork> Maintenance { get; init; } = [];

    public required HeadroomPolicy Headroom { get; init; }

    /// <summary>How the conditions of load cases come to be known.</summary>
    public ConditionPlan Conditions { get; init; } = ConditionPlan.Nothing;

    /// <summary>Everything that has an agent to poll: switches, managed injectors, managed pass-through switches, by id.</summary>
    public required FrozenDictionary<string, SnmpAgent> Agents { get; init; }

    /// <summary>What the check found that does not forbid the design (planned upgrades, suspect cable), for people.</summary>
    public required ImmutableArray<DesignProblem> Warnings { get; init; }

    /// <summary>Runs of each pole that has one; a pole without a run is absent.</summary>
    public required FrozenDictionary<string, ImmutableArray<CableRun>> CableRunsByPole { get; init; }

    /// <summary>The run that a PSE port meters, if any.</summary>
    public required FrozenDictionary<PsePortRef, CableRun> CableRunByPort { get; init; }

    /// <summary>PSE ports that rightly show no PD because an injector stands behind them: port to injector id.</summary>
    public required FrozenDictionary<PsePortRef, string> DataSidePorts { get; init; }
}
