namespace PoeWatch.Monitoring.Polling;

/// <summary>
/// When each agent is due: one entry an agent, spread over the period by a random phase, re-armed only after completion, so that a poll
/// never overlaps itself. Times are monotonic, so a stepped clock moves nothing. Not thread safe: the poll loop owns it.
/// </summary>
public sealed class PollSchedule(Random phases, TimeSpan silentPeriodMax)
{
    private readonly PriorityQueue<Entry, TimeSpan> _due = new();
    private readonly Dictionary<string, Entry> _entries = new(StringComparer.Ordinal);

    // By id, not by entry: an agent that leaves the design and comes back is another entry, but its first poll may still run.
    private readonly HashSet<string> _inFlight = new(StringComparer.Ordinal);

    /// <summary>Slots that passed while a poll was still running or waiting.</summary>
    public long MissedSlots { get; private set; }

    public int Count => _entries.Count;

    /// <summary>Takes a new set of agents and periods. Agents that stay keep their phase; a poll in flight ends as it began.</summary>
    public void Reconcile(IReadOnlyDictionary<string, TimeSpan> periods, TimeSpan now)
    {
        foreach (var gone in _entries.Keys.Where(id => !periods.ContainsKey(id)).ToList())
        {
            _entries[gone].IsRemoved = true;
            _entries.Remove(gone);
        }

        foreach (var (id, period) in periods.OrderBy(p => p.Key, StringComparer.Ordinal))
        {
            if (_entries.TryGetValue(id, out Entry? entry) && entry.Period == period)
            {
                continue;
            }

            if (entry is not null)
            {
                entry.IsRemoved = true;
            }

            var added = new Entry(id, period) { Due = now + (period * phases.NextDouble()) };
            _entries[id] = added;
            if (!_inFlight.Contains(id))
            {
                _due.Enqueue(added, added.Due);
            }
        }
    }

    /// <summary>Takes the next agent that is due, if any; it is in flight until <see cref="Complete"/>.</summary>
    public bool TryTake(TimeSpan now, out string pseId)
    {
        while (_due.TryPeek(out Entry? entry, out TimeSpan due) && (entry.IsRemoved || due <= now))
        {
            _due.Dequeue();
            if (!entry.IsRemoved)
            {
                _inFlight.Add(entry.PseId);
                pseId = entry.PseId;
                return true;
            }
        }

        pseId = string.Empty;
        return false;
    }

    /// <summary>Re-arms an agent after its poll: at its next slot, or later where it keeps silent.</summary>
    public void Complete(string pseId, bool answered, TimeSpan now)
    {
        if (!_inFlight.Remove(pseId) || !_entries.TryGetValue(pseId, out Entry? entry))
        {
            return;
        }

        entry.Silences = answered ? 0 : entry.Silences + 1;
        TimeSpan step = Backoff.Period(entry.Period, entry.Silences, silentPeriodMax);
        TimeSpan next = entry.Due + step;
        if (next <= now)
        {
            var missed = (long)Math.Floor((now - next) / entry.Period) + 1;
            MissedSlots += missed;
            next += entry.Period * missed;
        }

        entry.Due = next;
        _due.Enqueue(entry, next);
    }

    /// <summary>Time until the next agent is due; null where nothing waits.</summary>
    public TimeSpan? UntilNext(TimeSpan now)
    {
        while (_due.TryPeek(out Entry? entry, out TimeSpan due))
        {
            if (!entry.IsRemoved)
            {
                return due > now ? due - now : TimeSpan.Zero;
            }

            _due.Dequeue();
        }

        return null;
    }

    private sealed class Entry(string pseId, TimeSpan period)
    {
        public string PseId { get; } = pseId;

        public TimeSpan Period { get; } = period;

        public TimeSpan Due { get; set; }

        public int Silences { get; set; }

        public bool IsRemoved { get; set; }
    }
}
