namespace PoeWatch.Monitoring.Polling;

/// <summary>
/// When each agent is due: one entry an agent, spread over the period by a random phase, re-armed only after completion, so that a poll
/// never overlaps itself. Times are monotonic, so a stepped clock moves nothing. Not thread safe: the poll loop owns it.
/// </summary>
public sealed class PollSchedule(Random phases, TimeSpan silentPeriodMax)
{
    // An entry may stand here several times; only the newest of its stamps counts.
    private readonly PriorityQueue<(Entry Entry, int Stamp), TimeSpan> _due = new();
    private readonly Dictionary<string, Entry> _entries = new(StringComparer.Ordinal);

    // By id, not by entry: an agent that leaves the design and comes back is another entry, but its first poll may still run.
    private readonly HashSet<string> _inFlight = new(StringComparer.Ordinal);

    /// <summary>Slots that passed while a poll was still running or waiting.</summary>
    public long MissedSlots { get; private set; }

    /// <summary>When the last slot was missed by an agent that does answer: too much work or a slow agent; null where none was.</summary>
    public TimeSpan? LastMissedAt { get; private set; }

    public int Count => _entries.Count;

    /// <summary>Slots of one agent that passed so, since it is scheduled with its period; 0 where it is not.</summary>
    public long MissedSlotsOf(string pseId) => _entries.TryGetValue(pseId, out Entry? entry) ? entry.MissedSlots : 0;

    /// <summary>Takes a new set of agents and periods. Agents that stay keep their phase; a poll in flight ends as it began.</summary>
    public void Reconcile(IReadOnlyDictionary<string, TimeSpan> periods, TimeSpan now)
    {
        foreach (var gone in _entries.Keys.Where(id => !periods.ContainsKey(id)).ToList())
        {
            _entries.Remove(gone);
        }

        foreach (var (id, period) in periods.OrderBy(p => p.Key, StringComparer.Ordinal))
        {
            if (_entries.TryGetValue(id, out Entry? entry) && entry.Period == period)
            {
                continue;
            }

            var added = new Entry(id, period) { Slot = now + (period * phases.NextDouble()) };
            _entries[id] = added;
            if (!_inFlight.Contains(id))
            {
                Arm(added);
            }
        }
    }

    /// <summary>Takes the next agent that is due, if any; it is in flight until <see cref="Complete"/>. The one that waits longest comes first.</summary>
    public bool TryTake(TimeSpan now, out string pseId)
    {
        while (_due.TryPeek(out var next, out TimeSpan due) && (!IsNewest(next) || due <= now))
        {
            _due.Dequeue();
            if (IsNewest(next))
            {
                Entry entry = next.Entry;
                (entry.IsEarly, entry.Early, entry.StartedAt) = (due < entry.Slot, null, now);
                _inFlight.Add(entry.PseId);
                pseId = entry.PseId;
                return true;
            }
        }

        pseId = string.Empty;
        return false;
    }

    /// <summary>
    /// Asks for a poll before the agent's slot: now, or <paramref name="gap"/> after the last one began. Requests that come before then are one;
    /// one that comes while a poll runs asks for another one after it. The slots stay as they are.
    /// </summary>
    /// <returns>False where the agent is unknown, or is polled by then anyway.</returns>
    public bool Hasten(string pseId, TimeSpan gap, TimeSpan now)
    {
        if (!_entries.TryGetValue(pseId, out Entry? entry))
        {
            return false;
        }

        TimeSpan at = entry.StartedAt is { } started && started + gap > now ? started + gap : now;
        if (entry.Early <= at || (!_inFlight.Contains(pseId) && entry.Slot <= at))
        {
            return false;
        }

        entry.Early = at;
        if (!_inFlight.Contains(pseId))
        {
            Arm(entry);
        }

        return true;
    }

    /// <summary>How long the next poll is away where the one in flight brings no answer.</summary>
    /// <param name="isCutOff">True where what stands further up is silent too: then it is asked as rarely as a silent agent ever is.</param>
    public TimeSpan StepIfSilent(string pseId, bool isCutOff) =>
        _entries.TryGetValue(pseId, out Entry? entry) ? Step(entry, entry.Silences + 1, isCutOff) : TimeSpan.Zero;

    /// <summary>Re-arms an agent after its poll: at its next slot, or later where it keeps silent.</summary>
    /// <param name="isCutOff">As in <see cref="StepIfSilent"/>.</param>
    public void Complete(string pseId, bool answered, TimeSpan now, bool isCutOff = false)
    {
        if (!_inFlight.Remove(pseId) || !_entries.TryGetValue(pseId, out Entry? entry))
        {
            return;
        }

        // A poll between slots tells that an agent is back, but not that it is away for longer.
        entry.Silences = answered ? 0 : entry.IsEarly ? entry.Silences : entry.Silences + 1;
        TimeSpan next = entry.IsEarly ? entry.Slot : entry.Slot + Step(entry, entry.Silences, isCutOff);
        if (answered && next - now > entry.Period)
        {
            next -= entry.Period * Math.Floor((next - now) / entry.Period);
        }

        if (next <= now)
        {
            var missed = (long)Math.Floor((now - next) / entry.Period) + 1;
            MissedSlots += missed;
            entry.MissedSlots += missed;
            LastMissedAt = answered ? now : LastMissedAt;
            next += entry.Period * missed;
        }

        (entry.Slot, entry.IsEarly) = (next, false);
        Arm(entry);
    }

    /// <summary>Time until the next agent is due; null where nothing waits.</summary>
    public TimeSpan? UntilNext(TimeSpan now) => NextDue() is not { } due ? null : due > now ? due - now : TimeSpan.Zero;

    /// <summary>How long the agent that waits longest has been due; zero where none is.</summary>
    public TimeSpan Overdue(TimeSpan now) => NextDue() is { } due && due < now ? now - due : TimeSpan.Zero;

    private TimeSpan Step(Entry entry, int silences, bool isCutOff) => silences > 0 && isCutOff
        ? entry.Period > silentPeriodMax ? entry.Period : silentPeriodMax
        : Backoff.Period(entry.Period, silences, silentPeriodMax);

    private TimeSpan? NextDue()
    {
        while (_due.TryPeek(out var next, out TimeSpan due))
        {
            if (IsNewest(next))
            {
                return due;
            }

            _due.Dequeue();
        }

        return null;
    }

    private void Arm(Entry entry)
    {
        TimeSpan due = entry.Early is { } early && early < entry.Slot ? early : entry.Slot;
        _due.Enqueue((entry, ++entry.Stamp), due);
    }

    private bool IsNewest((Entry Entry, int Stamp) queued) =>
        queued.Stamp == queued.Entry.Stamp && _entries.TryGetValue(queued.Entry.PseId, out Entry? entry) && ReferenceEquals(entry, queued.Entry);

    private sealed class Entry(string pseId, TimeSpan period)
    {
        public string PseId { get; } = pseId;

        public TimeSpan Period { get; } = period;

        /// <summary>The next slot of its own pace.</summary>
        public TimeSpan Slot { get; set; }

        /// <summary>Due before the slot, where somebody asked for it.</summary>
        public TimeSpan? Early { get; set; }

        /// <summary>True while a poll runs that began before its slot.</summary>
        public bool IsEarly { get; set; }

        public TimeSpan? StartedAt { get; set; }

        public int Stamp { get; set; }

        public int Silences { get; set; }

        public long MissedSlots { get; set; }
    }
}
