using System.Collections.Immutable;
using PoeWatch.Domain.Poe;

namespace PoeWatch.DesignFiles.Drafts;

/// <summary>A design as far as it can be told from answers, each part with what it rests on. Immutable.</summary>
public sealed record DesignDraft(
    ImmutableArray<DraftedSwitch> Switches,
    ImmutableArray<DraftedPole> Poles,
    ImmutableArray<DraftedType> Types,
    ImmutableArray<DraftedDevice> Devices,
    ImmutableArray<DraftedAbsence> Absences);

/// <summary>A switch that answered. Immutable.</summary>
/// <param name="Remark">What it rests on and what to look at; the same of every part of a draft.</param>
public sealed record DraftedSwitch(
    string Id, string Name, string Address, string Credentials, DraftedUplink? Uplink, ImmutableArray<DraftedGroup> Groups, ImmutableArray<DraftedPort> Ports, string Remark);

/// <summary>The way of a switch to the service, out of LLDP. Immutable.</summary>
/// <param name="Switch">The near end.</param>
/// <param name="Medium">fibre or copper.</param>
public sealed record DraftedUplink(string Switch, string Medium, int LengthM, string Remark);

/// <summary>A PSE group, with its budget in whole watts. Immutable.</summary>
public sealed record DraftedGroup(int Group, int PortCount, int BudgetW, string Remark);

/// <summary>A port that is more than a plain one. Immutable.</summary>
/// <param name="Text"><c>1/7</c>.</param>
/// <param name="PoeClass">Highest class granted where the port is more than a plain one; else null.</param>
/// <param name="Criticality"><c>high</c> or <c>critical</c>; null for low.</param>
public sealed record DraftedPort(string Text, PoeClass? PoeClass, int? Vlan, string? Criticality, string Remark);

/// <summary>A pole, numbered by a text or made up for a run. Immutable.</summary>
public sealed record DraftedPole(string Id, string Name, string Remark);

/// <summary>A device type that stands for a class. Immutable.</summary>
/// <param name="DemandW">Watts at its input.</param>
public sealed record DraftedType(string Id, PoeClass PoeClass, double DemandW, string Remark);

/// <summary>A device with the cable that feeds it. Immutable.</summary>
/// <param name="From">The PSE port that feeds it: <c>quay:1/7</c>.</param>
/// <param name="LldpName">The name that it tells over LLDP, or empty.</param>
public sealed record DraftedDevice(string Id, string Name, string Type, string Pole, string LldpName, string From, string Remark);

/// <summary>An address that gave no switch: it did not answer, or it is no PSE. Immutable.</summary>
public sealed record DraftedAbsence(string Id, string Address, string Credentials, string Reason);
