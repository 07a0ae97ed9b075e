using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Inspection;

/// <summary>One source of watts as it was tried on an agent.</summary>
/// <param name="Column">Its main column.</param>
/// <param name="IsOffered">True where the agent has values there.</param>
/// <param name="Passes">True where it may be believed.</param>
/// <param name="IsRead">True where each poll reads it.</param>
/// <param name="Reason">Why.</param>
public sealed record InspectedSource(string Name, string Column, bool IsOffered, bool Passes, bool IsRead, string Reason);

/// <summary>What one agent offers, as the service would take it. Immutable.</summary>
/// <param name="Identity">Description, object id, name and up time, each with its label.</param>
/// <param name="SheetName">The draw sheet in force, or null.</param>
/// <param name="OtherSheets">Sheets whose columns the agent has too.</param>
/// <param name="Sources">In order of rank.</param>
/// <param name="Units">What the sums say of the units, one line a source and group.</param>
/// <param name="Reading">Ports, groups, interfaces and findings as a poll would bring them.</param>
/// <param name="Skeleton">A draw sheet to complete, where no sheet fits; else null.</param>
/// <param name="Incomplete">What the agent did not answer; empty where it answered everything.</param>
public sealed record InspectionReport(
    ImmutableArray<(string Label, SnmpValue Value)> Identity,
    string? SheetName,
    ImmutableArray<string> OtherSheets,
    ImmutableArray<InspectedSource> Sources,
    ImmutableArray<string> Units,
    SwitchReading Reading,
    string? Skeleton,
    string Incomplete)
{
    /// <summary>LLDP neighbours of all interfaces, uplinks among them, by the interface's name.</summary>
    public ImmutableArray<(string Interface, Neighbour Neighbour)> Neighbours { get; init; } = [];
}
