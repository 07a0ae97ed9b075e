using System.Collections.Immutable;

namespace PoeWatch.Domain.Alarms;

/// <summary>What one application of conditions led to.</summary>
/// <param name="Book">The book from now on.</param>
/// <param name="Changes">What happened, in order of key.</param>
/// <param name="ChangedAlarms">The alarms that the changes left behind, each once: to be stored together with the changes.</param>
public sealed record AlarmBookStep(AlarmBook Book, ImmutableArray<AlarmChange> Changes, ImmutableArray<Alarm> ChangedAlarms);

/// <summary>
/// All alarms of the site and the delays under way: one alarm per key however often it repeats, and a life as RFC 8632 tells it. Immutable; every
/// transition gives a new book, so a caller that could not store the changes keeps the old book and repeats the step later.
/// </summary>
public sealed class AlarmBook
{
    private readonly AlarmTimings _timings;
    private readonly ImmutableSortedDictionary<AlarmKey, Alarm> _alarms;
    private readonly ImmutableSortedDictionary<AlarmKey, AlarmLatch> _latches;

    private AlarmBook(
        AlarmTimings timings, ImmutableSortedDictionary<AlarmKey, Alarm> alarms, ImmutableSortedDictionary<AlarmKey, AlarmLatch> latches)
    {
        _timings = timings;
        _alarms = alarms;
        _latches = latches;
    }

    /// <summary>Every alarm, cleared ones included, in order of key.</summary>
    public IEnumerable<Alarm> Alarms => _alarms.Values;

    /// <summary>How many alarms are active.</summary>
    public int ActiveCount => _alarms.Values.Count(a => !a.IsCleared);

    /// <summary>True where an on-delay or an off-delay runs: the next step may raise or clear without anything new.</summary>
    public bool HasDelaysUnderWay => _latches.Values.Any(latch => latch.IsWaiting);

    public Alarm? Find(AlarmKey key) => _alarms.GetValueOrDefault(key);

    public static AlarmBook Empty(AlarmTimings timings) => Restore([], timings);

    /// <summary>The book after a restart: active alarms are active still and are not raised again; delays under way begin anew.</summary>
    public static AlarmBook Restore(IEnumerable<Alarm> stored, AlarmTimings timings)
    {
        var alarms = stored.ToImmutableSortedDictionary(a => a.Key, a => a);
        var latches = alarms.Where(a => !a.Value.IsCleared).ToImmutableSortedDictionary(a => a.Key, a => AlarmLatch.Steady(a.Value.Severity));
        return new AlarmBook(timings, alarms, latches);
    }

    /// <summary>The same alarms under other timings; delays under way go on.</summary>
    public AlarmBook With(AlarmTimings timings) => new(timings, _alarms, _latches);

    /// <summary>Holds the conditions of this moment against the book.</summary>
    /// <param name="now">Both clocks. A step of the wall clock changes no delay.</param>
    /// <param name="conditions">What the rules say; what they do not speak of does not hold.</param>
    /// <param name="isKnown">
    /// False where nothing is known of the key (a silent switch): it then is neither raised nor cleared, and its delays stand still.
    /// </param>
    /// <param name="maintenanceOf">Id of the maintenance window that covers the key now, or empty; null where there is none.</param>
    public AlarmBookStep Apply(
        AlarmMoment now, IReadOnlyCollection<AlarmCondition> conditions, Func<AlarmKey, bool> isKnown, Func<AlarmKey, string>? maintenanceOf = null)
    {
        var byKey = MostSevereByKey(conditions);
        var latches = _latches.ToBuilder();
        var step = new AlarmBookChanges(_alarms, now.At);
        foreach (var key in byKey.Keys.Union(_latches.Keys).Order())
        {
            var window = maintenanceOf?.Invoke(key) ?? "";
            var before = _latches.GetValueOrDefault(key) ?? AlarmLatch.Steady(AlarmSeverity.Unknown);
            if (!isKnown(key))
            {
                step.SuppressWhatStands(key, window);
                if (_latches.ContainsKey(key))
                {
                    latches[key] = before.Wait();
                }

                continue;
            }

            var condition = byKey.GetValueOrDefault(key);
            var after = before.Next(condition, now.Running, _timings.For(key.Type));
            if (after.IsIdle)
            {
                latches.Remove(key);
            }
            else
            {
                latches[key] = after;
            }

            step.SuppressWhatStands(key, window);
            if (after.Active != before.Active)
            {
                step.Move(key, after.Active, condition, window);
            }

            // What is about to clear is not raised once more when its window ends.
            if (after is { Active: not AlarmSeverity.Unknown, IsClearing: false })
            {
                step.RaiseWhatStillHolds(key, condition, window);
            }
        }

        step.EndShelves();
        return step.ToStep(alarms => new AlarmBook(_timings, alarms, latches.ToImmutable()));
    }

    /// <summary>Sets what a person says of an alarm. Clearing is the service's and closing a person's: neither waits for the other.</summary>
    /// <param name="who">Name of the person; not empty.</param>
    /// <param name="shelf">How long, where it is shelved; eight hours where not given.</param>
    public OperatorStep SetOperatorState(DateTimeOffset now, AlarmKey key, OperatorState state, string who, string text, AlarmShelf? shelf = null)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(who);
        if (!_alarms.TryGetValue(key, out var alarm))
        {
            return new OperatorStep(OperatorOutcome.NoSuchAlarm, this, null, null);
        }

        // RFC 8632 keeps shelved alarms apart: they come back by un-shelving only, and only they can be un-shelved.
        var isShelved = alarm.OperatorState == OperatorState.Shelved;
        if (isShelved != (state == OperatorState.UnShelved))
        {
            return new OperatorStep(OperatorOutcome.NotAllowed, this, alarm, null);
        }

        var next = alarm with
        {
            OperatorState = state,
            OperatorName = who,
            OperatorText = text,
            ChangedAt = now,
            Shelf = state == OperatorState.Shelved ? shelf ?? new AlarmShelf(now + AlarmShelf.ShelfByDefault, null) : null,
        };
        var kind = next.Shelf is { IsAcceptance: true } ? AlarmChangeKinds.Accepted : AlarmChangeKinds.Of(state);
        var change = new AlarmChange(key, now, kind, alarm.Severity, who, text) { QuietBecause = next.QuietBecause };
        return new OperatorStep(OperatorOutcome.Done, new AlarmBook(_timings, _alarms.SetItem(key, next), _latches), next, change);
    }

    /// <summary>Adds a note of a person: it stands among the changes and moves nothing.</summary>
    public OperatorStep AddNote(DateTimeOffset now, AlarmKey key, string who, string text)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(who);
        return _alarms.TryGetValue(key, out var alarm)
            ? new OperatorStep(OperatorOutcome.Done, this, alarm, new AlarmChange(key, now, AlarmChangeKinds.Note, alarm.Severity, who, text) { QuietBecause = alarm.QuietBecause })
            : new OperatorStep(OperatorOutcome.NoSuchAlarm, this, null, null);
    }

    /// <summary>Takes out what has been cleared for longer than the policy keeps and is not shelved. The purged alarms are those of the step.</summary>
    public AlarmBookStep Purge(DateTimeOffset now)
    {
        ImmutableArray<Alarm> old =
        [
            .. _alarms.Values.Where(a => a is { IsCleared: true, OperatorState: not OperatorState.Shelved }
                && now - a.ChangedAt > _timings.KeepCleared && !_latches.ContainsKey(a.Key)),
        ];
        return new AlarmBookStep(
            old.IsEmpty ? this : new AlarmBook(_timings, _alarms.RemoveRange(old.Select(a => a.Key)), _latches),
            [.. old.Select(a => new AlarmChange(a.Key, now, AlarmChangeKinds.Purged, a.Severity, "", "") { QuietBecause = AlarmChangeKinds.Purged })],
            old);
    }

    private static Dictionary<AlarmKey, AlarmCondition> MostSevereByKey(IReadOnlyCollection<AlarmCondition> conditions)
    {
        var byKey = new Dictionary<AlarmKey, AlarmCondition>(conditions.Count);
        foreach (var condition in conditions)
        {
            if (!byKey.TryGetValue(condition.Key, out var other) || condition.Severity > other.Severity)
            {
                byKey[condition.Key] = condition;
            }
        }

        return byKey;
    }
}
