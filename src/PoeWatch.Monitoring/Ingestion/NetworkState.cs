using System.Collections.Frozen;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>The newest readings of the network: one writer a reading, snapshots for everybody. Thread safe.</summary>
public sealed class NetworkState
{
    private readonly Lock _gate = new();
    private readonly Dictionary<string, SwitchReading> _latest = new(StringComparer.Ordinal);
    private readonly Dictionary<string, SwitchReading> _answers = new(StringComparer.Ordinal);

    /// <summary>Takes a reading; an older one than the newest known of that element is passed over.</summary>
    public void Update(SwitchReading reading)
    {
        lock (_gate)
        {
            if (_latest.TryGetValue(reading.PseId, out SwitchReading? known) && known.Sequence > reading.Sequence)
            {
                return;
            }

            _latest[reading.PseId] = reading;
            if (reading.Outcome is PollOutcome.Answered or PollOutcome.Partial)
            {
                _answers[reading.PseId] = KeepNames(reading);
            }
        }
    }

    /// <summary>Notes that a reading was dropped before it was kept: as long as it is shown it must not pass as kept.</summary>
    public void NeverKept(SwitchReading dropped)
    {
        lock (_gate)
        {
            if (_answers.TryGetValue(dropped.PseId, out SwitchReading? answer) && answer.Sequence == dropped.Sequence)
            {
                _answers[dropped.PseId] = answer with { Sequence = long.MaxValue };
            }
        }
    }

    /// <summary>The state of now, for elements that the design in force still has.</summary>
    public NetworkSnapshot Snapshot(DateTimeOffset now, IReadOnlySet<string> pseIds)
    {
        lock (_gate)
        {
            return new NetworkSnapshot(
                now,
                _latest.Where(r => pseIds.Contains(r.Key)).ToFrozenDictionary(StringComparer.Ordinal),
                _answers.Where(r => pseIds.Contains(r.Key)).ToFrozenDictionary(StringComparer.Ordinal));
        }
    }

    // Names are read on a slower beat than draws: between two readings of names the last ones stand.
    private SwitchReading KeepNames(SwitchReading reading) =>
        reading.InterfaceNames.IsEmpty && _answers.TryGetValue(reading.PseId, out SwitchReading? before) && !(before.InterfaceNames.IsEmpty && before.Interfaces.IsEmpty)
            ? reading with { InterfaceNames = before.InterfaceNames, Interfaces = before.Interfaces }
            : reading;
}
