using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design;

/// <summary>A battery behind one or more switches: what they draw when the mains is gone. Immutable.</summary>
/// <param name="SwitchIds">Switches that it feeds, each by no other one.</param>
/// <param name="UsableWattHours">What its battery gives to the inverter when new; above 0.</param>
/// <param name="InverterEfficiency">Output over input of the inverter; above 0, at most 1.</param>
/// <param name="BatteryHealth">Share of the watt-hours that is left with age; above 0, at most 1.</param>
/// <param name="OtherLoad">What else hangs on its output, injectors included; 0 or more.</param>
/// <param name="WantedRuntime">How long it has to last; null where the design does not say.</param>
public sealed record Ups(
    string Id,
    string Name,
    ImmutableArray<string> SwitchIds,
    double UsableWattHours,
    Ratio InverterEfficiency,
    Ratio BatteryHealth,
    Power OtherLoad,
    TimeSpan? WantedRuntime)
{
    /// <summary>Its own agent, which serves UPS-MIB (RFC 1628); null where nobody asks it.</summary>
    public SnmpAgent? Agent { get; init; }
}
