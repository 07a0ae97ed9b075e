using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Domain.Readings;

/// <summary>The one written name of outcomes and states in API, database, metrics and exports. Pure and thread safe.</summary>
public static class OutcomeNames
{
    public static string Name(this PollOutcome outcome) => outcome switch
    {
        PollOutcome.Answered => "answered",
        PollOutcome.Partial => "partial",
        PollOutcome.Silent => "silent",
        PollOutcome.Refused => "refused",
        PollOutcome.Malformed => "malformed",
        PollOutcome.NoPoe => "no-poe",
        _ => "unknown",
    };

    public static string Name(this FindingKind kind) => kind switch
    {
        FindingKind.UnitConflict => "unit-conflict",
        FindingKind.AllocationAsDraw => "allocation-as-draw",
        FindingKind.WrongDevice => "wrong-device",
        FindingKind.MovedDevice => "moved-device",
        FindingKind.WrongVlan => "wrong-vlan",
        _ => "unknown",
    };

    public static string Name(this AgentChangeKind kind) => kind switch
    {
        AgentChangeKind.AgentRestarted => "agent-restarted",
        AgentChangeKind.Restarted => "restarted",
        AgentChangeKind.Replaced => "replaced",
        AgentChangeKind.Renumbered => "renumbered",
        AgentChangeKind.GroupsChanged => "groups-changed",
        _ => "unknown",
    };

    /// <summary>The kind of that name; <see cref="AgentChangeKind.Unknown"/> where there is none.</summary>
    public static AgentChangeKind AgentChange(string name) => Enum.GetValues<AgentChangeKind>().FirstOrDefault(kind => kind.Name() == name);

    public static string Name(this PortState state) => state switch
    {
        PortState.Disabled => "disabled",
        PortState.Searching => "searching",
        PortState.Delivering => "delivering",
        PortState.Fault => "fault",
        PortState.Test => "test",
        PortState.OtherFault => "other-fault",
        _ => "unknown",
    };
}
