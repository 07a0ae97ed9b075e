using System.Collections.Immutable;
using System.Net;

namespace PoeWatch.Domain.Design;

/// <summary>Unit of a draw column as the agent counts it.</summary>
public enum DrawUnit
{
    Unknown = 0,
    Milliwatt = 1,
    Deciwatt = 2,
    Watt = 3,
}

/// <summary>What follows the column in the OID of a draw value.</summary>
public enum DrawIndex
{
    Unknown = 0,

    /// <summary>RFC 3621's group and port.</summary>
    GroupAndPort = 1,

    /// <summary>The port number alone; the switch has one group.</summary>
    Port = 2,

    /// <summary>ifIndex, mapped to the port by interface evidence.</summary>
    IfIndex = 3,
}

/// <summary>Where an agent keeps measured watts per port.</summary>
/// <param name="Oid">Column in dotted numbers, without the index.</param>
public sealed record DrawColumn(string Oid, DrawUnit Unit, DrawIndex Index);

/// <summary>How to reach the agent of a PSE. Secrets are never part of a design: <paramref name="Credentials"/> is a name.</summary>
/// <param name="Address">IP address or DNS name.</param>
/// <param name="UdpPort">1..65535, 161 by default.</param>
/// <param name="Credentials">Name of the credentials in the settings.</param>
/// <param name="PollPeriod">From 1 s (demo) to 15 min; 60 s by default.</param>
/// <param name="DrawColumn">Null where nothing measures: then the class bound is all there is.</param>
public sealed record SnmpAgent(string Address, int UdpPort, string Credentials, TimeSpan PollPeriod, DrawColumn? DrawColumn)
{
    /// <summary>Other addresses of the same device that its answers may come from; none by default.</summary>
    public ImmutableArray<IPAddress> AnswersFrom { get; init; } = [];

    // An array is equal only to itself: an agent that a new design leaves as it was would pass for another one.
    public bool Equals(SnmpAgent? other) =>
        other is not null && Address == other.Address && UdpPort == other.UdpPort && Credentials == other.Credentials && PollPeriod == other.PollPeriod
        && DrawColumn == other.DrawColumn && AnswersFrom.AsSpan().SequenceEqual(other.AnswersFrom.AsSpan());

    public override int GetHashCode() => HashCode.Combine(Address, UdpPort, Credentials, PollPeriod, DrawColumn, AnswersFrom.Length);
}
