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
    /// <param name="now">UTC. A step back starts delays under way anew, and changes nothing else.</param>
    /// <param name="conditions">What the rules say; what they do not speak of does not hold.</param>
    /// <param name="isKnown">
    /// False where nothing is known of the key (a silent switch): it then is neither raised nor cleared, and its delays wait as they are.
    /// </param>
    public AlarmBookStep Apply(DateTimeOffset now, IReadOnlyCollection<AlarmCondition> conditions, Func<AlarmKey, bool> isKnown)
    {
        var byKey = MostSevereByKey(conditions);
        var alarms = _alarms.ToBuilder();
        var latches = _latches.ToBuilder();
        var changes = ImmutableArray.CreateBuilder<AlarmChange>();
        var changed = ImmutableArray.CreateBuilder<Alarm>();

        foreach (var key in byKey.Keys.Union(_latches.Keys).Order().Where(isKnown))
        {
            var condition = byKey.GetValueOrDefault(key);
            var before = _latches.GetValueOrDefault(key) ?? AlarmLatch.Steady(AlarmSeverity.Unknown);
            var after = before.Next(condition, now, _timings);
            if (after.IsIdle)
            {
                latches.Remove(key);
            }
            else
            {
                latches[key] = after;
            }

            if (after.Active != before.Active)
            {
                var (alarm, kind) = Change(key, after.Active, condition, now);
                alarms[key] = alarm;
                changed.Add(alarm);
                changes.Add(new AlarmChange(key, now, kind, alarm.Severity, "", alarm.Text));
            }
        }

        return new AlarmBookStep(new AlarmBook(_timings, alarms.ToImmutable(), latches.ToImmutable()), changes.ToImmutable(), changed.ToImmutable());
    }

    /// <summary>Sets what a person says of an alarm. Clearing is the service's and closing a person's: neither waits for the other.</summary>
    /// <param name="who">Name of the person; not empty.</param>
    public OperatorStep SetOperatorState(DateTimeOffset now, AlarmKey key, OperatorState state, string who, string text)
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

        var next = alarm with { OperatorState = state, OperatorName = who, OperatorText = text, ChangedAt = now };
        var change = new AlarmChange(key, now, AlarmChangeKinds.Of(state), alarm.Severity, who, text);
        return new OperatorStep(OperatorOutcome.Done, new AlarmBook(_timings, _alarms.SetItem(key, next), _latches), next, change);
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

    private (Alarm Alarm, string Kind) Change(AlarmKey key, AlarmSeverity active, AlarmCondition? condition, DateTimeOffset now)
    {
        var known = _alarms.GetValueOrDefault(key);
        if (active == AlarmSeverity.Unknown)
        {
            return (known! with { IsCleared = true, ChangedAt = now }, AlarmChangeKinds.Cleared);
        }

        var text = condition?.Text ?? known!.Text;
        var nextSteps = condition?.NextSteps ?? known!.NextSteps;
        if (known is { IsCleared: false })
        {
            return (known with { Severity = active, ChangedAt = now, Text = text, NextSteps = nextSteps }, AlarmChangeKinds.SeverityChanged);
        }

        // What a person said of the last time does not count for this one; only a shelf stays shut, that being its purpose.
        var raised = known is { OperatorState: OperatorState.Shelved }
            ? known with { Severity = active, IsCleared = false, RaisedAt = now, ChangedAt = now, Text = text, NextSteps = nextSteps }
            : new Alarm(key, active, false, now, now, text, nextSteps, OperatorState.None, "", "");
        return (raised, AlarmChangeKinds.Raised);
    }
}
