using PoeWatch.Domain.Alarms;

namespace PoeWatch.Monitoring.Alarming;

/// <summary>
/// What the alarm store has not taken yet: alarms as they now are, and the changes that led there, bounded. Owned by one loop.
/// </summary>
public sealed class UnsavedAlarms(int maxChanges)
{
    private readonly Dictionary<AlarmKey, Alarm> _alarms = [];
    private readonly Queue<AlarmChange> _changes = new();

    /// <summary>Changes that had to go because too many waited; the alarms themselves never go.</summary>
    public long DroppedChanges { get; private set; }

    public bool IsEmpty => _alarms.Count == 0 && _changes.Count == 0;

    public int ChangeCount => _changes.Count;

    public void Add(IEnumerable<Alarm> alarms, IEnumerable<AlarmChange> changes)
    {
        foreach (Alarm alarm in alarms)
        {
            _alarms[alarm.Key] = alarm;
        }

        foreach (AlarmChange change in changes)
        {
            if (_changes.Count >= maxChanges)
            {
                _changes.Dequeue();
                DroppedChanges++;
            }

            _changes.Enqueue(change);
        }
    }

    /// <summary>Takes everything out, to be written; <see cref="PutBack"/> returns it where writing fails.</summary>
    public UnsavedBatch TakeAll()
    {
        var all = new UnsavedBatch([.. _alarms.Values], [.. _changes]);
        _alarms.Clear();
        _changes.Clear();
        return all;
    }

    /// <summary>Returns what could not be written, before what came since: a newer state of an alarm stands.</summary>
    public void PutBack(UnsavedBatch batch)
    {
        UnsavedBatch since = TakeAll();
        Add(batch.Alarms, batch.Changes);
        Add(since.Alarms, since.Changes);
    }
}

/// <summary>Alarms and changes that are written together. Immutable.</summary>
public sealed record UnsavedBatch(IReadOnlyList<Alarm> Alarms, IReadOnlyList<AlarmChange> Changes);
