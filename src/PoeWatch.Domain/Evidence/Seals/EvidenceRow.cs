using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>What a row of the evidence tells of. The numbers are part of the canonical bytes.</summary>
public enum EvidenceRowKind
{
    Unknown = 0,

    /// <summary>A finished poll, answered or not.</summary>
    Poll = 1,

    /// <summary>What a poll said of one PSE port.</summary>
    Port = 2,

    /// <summary>What a poll said of one PSE group.</summary>
    Group = 3,
}

/// <summary>
/// One row of the evidence, with exactly what its canonical bytes hold: numbers as they are written, no unit to convert, nothing rounded. What a kind
/// does not have is null, 0 or empty. Immutable.
/// </summary>
/// <param name="PseId">Element that was polled.</param>
/// <param name="AtMicroseconds">Time of the agent's answer: microseconds since 1970-01-01 UTC, cut.</param>
public sealed record EvidenceRow(EvidenceRowKind Kind, string PseId, long AtMicroseconds)
{
    /// <summary>How the poll ended; poll rows.</summary>
    public PollOutcome Outcome { get; init; }

    /// <summary>Text of the poll; poll rows.</summary>
    public string Detail { get; init; } = string.Empty;

    /// <summary>Up-time of the agent in hundredths of a second, cut; poll rows.</summary>
    public long? UpTimeCentiseconds { get; init; }

    /// <summary>Port rows of the poll; poll rows.</summary>
    public int PortCount { get; init; }

    /// <summary>Group rows of the poll; poll rows.</summary>
    public int GroupCount { get; init; }

    /// <summary>RFC 3621 group; port and group rows.</summary>
    public int Group { get; init; }

    /// <summary>RFC 3621 port; port rows.</summary>
    public int Port { get; init; }

    public PortState State { get; init; }

    public Provenance Provenance { get; init; }

    /// <summary>Assigned class 0 to 8, or null; port rows.</summary>
    public int? AssignedClass { get; init; }

    /// <summary>Number of the configured priority: 0 not said, 1 critical, 2 high, 3 low; port rows.</summary>
    public int Priority { get; init; }

    /// <summary>Watts of a port or group in milliwatts, with the meaning that the provenance gives.</summary>
    public long? Milliwatts { get; init; }

    /// <summary>Budget of a group in milliwatts.</summary>
    public long? BudgetMilliwatts { get; init; }

    /// <summary>Whether the group's supply is on; null where not said.</summary>
    public bool? IsOn { get; init; }

    /// <summary>Begin of the quarter-hour that the row belongs to, in microseconds.</summary>
    public long IntervalStart => SealInterval.StartOf(AtMicroseconds);
}

/// <summary>The canonical bytes of rows, version 1: docs/evidence-export.md has them byte by byte. Independent of how a store packs readings. Pure and thread safe.</summary>
public static class CanonicalRow
{
    public const byte Version = 1;

    private const int NoClass = 0xFF;

    /// <summary>The rows of a poll in their order: the poll, its ports by group and port number, its groups by number.</summary>
    public static List<EvidenceRow> RowsOf(SwitchReading reading)
    {
        var at = SealInterval.MicrosecondsOf(reading.At);
        var rows = new List<EvidenceRow>(1 + reading.Ports.Length + reading.Groups.Length)
        {
            new(EvidenceRowKind.Poll, reading.PseId, at)
            {
                Outcome = reading.Outcome,
                Detail = reading.Detail,
                UpTimeCentiseconds = reading.UpTime is { } up ? up.Ticks / (TimeSpan.TicksPerMillisecond * 10) : null,
                PortCount = reading.Ports.Length,
                GroupCount = reading.Groups.Length,
            },
        };
        rows.AddRange(reading.Ports.OrderBy(p => p.Port).Select(port => new EvidenceRow(EvidenceRowKind.Port, reading.PseId, at)
        {
            Group = port.Port.Group,
            Port = port.Port.Port,
            State = port.State,
            Provenance = port.Provenance,
            AssignedClass = port.AssignedClass is { } known ? (int)known : null,
            Priority = (int)port.Priority,
            Milliwatts = port.DrawAtPse?.Milliwatts,
        }));
        rows.AddRange(reading.Groups.OrderBy(g => g.Group).Select(group => new EvidenceRow(EvidenceRowKind.Group, reading.PseId, at)
        {
            Group = group.Group,
            Provenance = group.Provenance,
            Milliwatts = group.DrawAtPse?.Milliwatts,
            BudgetMilliwatts = group.Budget?.Milliwatts,
            IsOn = group.IsOn,
        }));
        return rows;
    }

    public static byte[] Encode(EvidenceRow row) => Write(row).Written.ToArray();

    /// <summary>The row's hash: it is a leaf of the little tree over its poll.</summary>
    public static Digest HashOf(EvidenceRow row) => HashTree.Leaf(Write(row).Written);

    private static CanonicalBytes Write(EvidenceRow row)
    {
        var bytes = new CanonicalBytes().Byte(Version).Byte((int)row.Kind).Text(row.PseId).Long(row.AtMicroseconds);
        return row.Kind switch
        {
            EvidenceRowKind.Poll => bytes.Byte((int)row.Outcome).Text(row.Detail).Maybe(row.UpTimeCentiseconds).Int(row.PortCount).Int(row.GroupCount),
            EvidenceRowKind.Port => bytes.Int(row.Group).Int(row.Port).Byte((int)row.State).Byte((int)row.Provenance)
                .Byte(row.AssignedClass ?? NoClass).Byte(row.Priority).Maybe(row.Milliwatts),
            EvidenceRowKind.Group => bytes.Int(row.Group).Byte((int)row.Provenance).Maybe(row.Milliwatts).Maybe(row.BudgetMilliwatts)
                .Byte(row.IsOn switch { null => 0, false => 1, true => 2 }),
            _ => throw new ArgumentOutOfRangeException(nameof(row), row.Kind, "No kind of row."),
        };
    }
}
