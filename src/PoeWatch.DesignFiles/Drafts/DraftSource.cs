using System.Collections.Immutable;
using PoeWatch.Domain.Readings;

namespace PoeWatch.DesignFiles.Drafts;

/// <summary>One agent as it answered for a draft. Immutable.</summary>
/// <param name="Address">As a design writes it, with the UDP port where it is not 161.</param>
/// <param name="Credentials">Their name.</param>
/// <param name="WantedId">The id that the element is to have, or empty: its own name then gives it.</param>
/// <param name="SystemName">What it calls itself, or empty.</param>
/// <param name="ChassisIds">Its own chassis ids of LLDP in the form that neighbours show them.</param>
/// <param name="Reading">Its ports and groups; null where it did not answer.</param>
/// <param name="Neighbours">LLDP neighbours by the name of the interface that sees them.</param>
/// <param name="Trouble">Why it did not answer, or what it did not answer; empty where it answered everything.</param>
public sealed record DraftSource(
    string Address,
    string Credentials,
    string WantedId,
    string SystemName,
    ImmutableArray<string> ChassisIds,
    SwitchReading? Reading,
    ImmutableArray<(string Interface, Neighbour Neighbour)> Neighbours,
    string Trouble);
