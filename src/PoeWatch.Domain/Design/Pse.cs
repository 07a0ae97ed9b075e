using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design;

/// <summary>How a PSE group sets power aside for its ports.</summary>
public enum AllocationPolicy
{
    Unknown = 0,

    /// <summary>The class of each PD is reserved.</summary>
    ByClass = 1,

    /// <summary>Only what flows is counted.</summary>
    ByDraw = 2,

    /// <summary>The configured limit of each port is reserved.</summary>
    ByLimit = 3,
}

/// <summary>How many of a group's supplies its load may count on.</summary>
public enum SupplyRedundancy
{
    Unknown = 0,

    /// <summary>All are needed: with one lost, ports go off.</summary>
    AllNeeded = 1,

    /// <summary>One more than needed: with the largest lost, every port stays fed.</summary>
    NPlusOne = 2,
}

/// <summary>How the redundancy of supplies is written, everywhere.</summary>
public static class SupplyRedundancyNames
{
    /// <summary><c>all-needed</c> or <c>n-plus-1</c>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Unknown is not written.</exception>
    public static string Name(this SupplyRedundancy redundancy) => redundancy switch
    {
        SupplyRedundancy.AllNeeded => "all-needed",
        SupplyRedundancy.NPlusOne => "n-plus-1",
        _ => throw new ArgumentOutOfRangeException(nameof(redundancy), redundancy, "Say all-needed or n-plus-1."),
    };
}

/// <summary>A power supply behind a PSE group; N+1 groups live on with one of them lost.</summary>
/// <param name="Rating">At its output. What the switch needs itself comes out of it (<see cref="PseGroup.OwnDraw"/>).</param>
public sealed record Supply(string Id, Power Rating);

/// <summary>The ports that share one power budget.</summary>
/// <param name="Number">RFC 3621 group number, 1 or more.</param>
/// <param name="Budget">Watts that all ports of the group may draw together at the PSE.</param>
/// <param name="GuardBand">Fixed reserve inside the budget; 0 by default.</param>
public sealed record PseGroup(int Number, Power Budget, Power GuardBand, AllocationPolicy Allocation, ImmutableArray<Supply> Supplies)
{
    /// <summary>Ports of the group; null where the design does not say.</summary>
    public int? PortCount { get; init; }

    /// <summary>Whether the loss of one supply may cut ports.</summary>
    public SupplyRedundancy Redundancy { get; init; } = SupplyRedundancy.AllNeeded;

    /// <summary>What the box itself takes out of its supplies; 0 where their ratings are for PoE alone.</summary>
    public Power OwnDraw { get; init; }

    /// <summary>Output over input of the supplies, above 0 and at most 1: what stands between ports and UPS.</summary>
    public Ratio SupplyEfficiency { get; init; } = Ratio.FromFraction(UpsRuntime.SupplyEfficiency);

    /// <summary>Ports that it starts at once after an outage, the most critical first; null: all together.</summary>
    public int? StartsAtOnce { get; init; }

    /// <summary>From one start to the next where it does not start all together.</summary>
    public TimeSpan StartInterval { get; init; } = TimeSpan.FromSeconds(1);
}

/// <summary>What a PD loses when power gets short: critical last, low first (RFC 3621 pethPsePortPowerPriority).</summary>
public enum Criticality : byte
{
    Unknown = 0,
    Critical = 1,
    High = 2,
    Low = 3,
}

/// <summary>A better port that the design says is still to come.</summary>
/// <param name="Limit">Watts at the PSE once it is there.</param>
/// <param name="Due">Day by which it is promised; null where the design does not say.</param>
public sealed record PlannedUpgrade(Power Limit, DateOnly? Due);

/// <summary>One PSE port as designed.</summary>
/// <param name="Limit">The most the port gives, at the PSE.</param>
/// <param name="Type">Decides voltage and current limits.</param>
/// <param name="GrantableClass">Highest class the port grants.</param>
public sealed record PsePort(
    PsePortRef Ref, Power Limit, PoeType Type, PoeClass GrantableClass, Criticality Criticality, PlannedUpgrade? Upgrade)
{
    /// <summary>VLAN of untagged frames that it is meant to be in; null where the design does not say.</summary>
    public int? Vlan { get; init; }
}

/// <summary>The way to the rest of the network. A switch whose uplink is down is silent for that one cause.</summary>
/// <param name="SwitchId">Switch at the near end.</param>
/// <param name="Medium">"fibre" or "copper".</param>
/// <param name="Length">Length of the cable or fibre.</param>
public sealed record Uplink(string SwitchId, string Medium, Length Length);

/// <summary>A managed switch with PSE ports.</summary>
/// <param name="PoleId">Pole or cabinet it stands at; null indoors.</param>
/// <param name="Ports">The ports the design names or uses, by reference; ports that nothing is designed on need not be listed.</param>
public sealed record PseSwitch(
    string Id,
    string Name,
    SnmpAgent Agent,
    string? PoleId,
    Uplink? Uplink,
    ImmutableSortedDictionary<int, PseGroup> Groups,
    ImmutableSortedDictionary<PsePortRef, PsePort> Ports);

/// <summary>
/// A PSE between a switch port and the PD. Unmanaged (<see cref="Agent"/> null): its output is unmetered. Either way the switch port on
/// its data side rightly shows no PD.
/// </summary>
/// <param name="Rating">Watts at its output.</param>
/// <param name="OutputVoltage">Nominal volts at its output.</param>
/// <param name="DataSide">Switch port that it takes data from; null where not designed.</param>
/// <param name="AgentPort">Which PSE port of its own agent it is; null where unmanaged.</param>
public sealed record Injector(
    string Id, string Name, Power Rating, Voltage OutputVoltage, PoeType Type, PsePortRef? DataSide, SnmpAgent? Agent, PsePortRef? AgentPort);
