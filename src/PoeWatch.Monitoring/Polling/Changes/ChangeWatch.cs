using System.Collections.Immutable;
using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Monitoring.Polling.Changes;

/// <summary>Remembers the last pulse of one agent and tells what changed since. Used by one poll at a time; no I/O.</summary>
internal sealed class ChangeWatch
{
    private AgentPulse? _last;

    // Who it was before this poll: what is read of the identity less often is held against that.
    private AgentIdentity _before = AgentIdentity.Nothing;

    /// <summary>Takes what a poll said.</summary>
    public ImmutableArray<AgentChange> Note(AgentPulse pulse)
    {
        if (_last is not { } before)
        {
            _last = pulse;
            return [];
        }

        ImmutableArray<AgentChange> changes = AgentContinuity.Between(before, pulse);
        _before = before.Identity;
        _last = new AgentPulse(
            pulse.At,
            pulse.UpTime ?? before.UpTime + (pulse.At - before.At),
            pulse.EngineBoots ?? before.EngineBoots,
            pulse.SystemUpTime ?? before.SystemUpTime + (pulse.At - before.At),
            pulse.Groups.IsDefaultOrEmpty ? before.Groups : pulse.Groups,
            IsReplaced(changes) ? pulse.Identity : pulse.Identity.Or(before.Identity));
        return changes;
    }

    /// <summary>
    /// Takes what is read of the switch's identity less often. A replacement that it shows stands for all that the poll showed; one that it refutes was
    /// an engine with a new id.
    /// </summary>
    public ImmutableArray<AgentChange> Note(string objectId, string serial, ImmutableArray<AgentChange> sofar)
    {
        if (_last is not { } last)
        {
            return sofar;
        }

        // What the poll made of the engine id stands.
        var now = new AgentIdentity(objectId, last.Identity.EngineId, serial);
        AgentChange? replaced = AgentContinuity.Replaced(IsReplaced(sofar) ? _before : _before with { EngineId = string.Empty }, now);
        _last = last with { Identity = replaced is null ? now.Or(last.Identity) : now };
        _before = _last.Identity;
        return replaced is not null ? [replaced]
            : IsReplaced(sofar) ? [new AgentChange(AgentChangeKind.Restarted, "The agent has a new SNMP engine id; the serial number is the same. Whether its ports lost power meanwhile is not known.")]
            : sofar;
    }

    public static bool IsReplaced(ImmutableArray<AgentChange> changes) => changes.Any(change => change.Kind == AgentChangeKind.Replaced);
}
