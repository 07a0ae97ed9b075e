namespace PoeWatch.Domain.Readings;

/// <summary>What can be odd about the answers of an agent that does answer.</summary>
public enum FindingKind
{
    Unknown = 0,

    /// <summary>Ports and group count in different units: the wrong one is not published, or neither where that is not clear.</summary>
    UnitConflict = 1,

    /// <summary>A draw column shows exactly what classes or allocations allow: it is taken for an allocation.</summary>
    AllocationAsDraw = 2,

    /// <summary>Behind the port stands a device other than the one of the design.</summary>
    WrongDevice = 3,

    /// <summary>The device of the design stands behind another port.</summary>
    MovedDevice = 4,

    /// <summary>The port is in a VLAN other than that of the design.</summary>
    WrongVlan = 5,
}

/// <summary>One odd thing about an answer, for alarms and people. Immutable.</summary>
/// <param name="Group">PSE group it is about; 0 where it is about a port.</param>
/// <param name="Port">Port it is about, or null.</param>
/// <param name="Text">What was seen and what to do.</param>
public sealed record ReadingFinding(FindingKind Kind, int Group, PsePortRef? Port, string Text);
