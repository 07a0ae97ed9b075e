using System.Collections.Immutable;

namespace PoeWatch.Domain.Alarms;

/// <summary>The changes of one step of the book while they are gathered. For one thread and one step.</summary>
internal sealed class AlarmBookChanges(ImmutableSortedDictionary<AlarmKey, Alarm> before, DateTimeOffset at)
{
    private readonly ImmutableSortedDictionary<AlarmKey, Alarm>.Builder _alarms = before.ToBuilder();
    private readonly ImmutableArray<AlarmChange>.Builder _changes = ImmutableArray.CreateBuilder<AlarmChange>();
    private readonly SortedSet<AlarmKey> _changed = [];

    /// <summary>A window began over an alarm that stands: it stands on and is called suppressed.</summary>
    public void SuppressWhatStands(AlarmKey key, string window)
    {
        if (window.Length > 0 && _alarms.TryGetValue(key, out var alarm) && alarm is { IsCleared: false, MaintenanceId.Length: 0 })
        {
            Put(alarm with { MaintenanceId = window, ChangedAt = at }, AlarmChangeKinds.Suppressed);
        }
    }

    /// <summary>The severity moved: raised, changed or cleared.</summary>
    public void Move(AlarmKey key, AlarmSeverity active, AlarmCondition? condition, string window)
    {
        var known = _alarms.GetValueOrDefault(key);
        if (active == AlarmSeverity.Unknown)
        {
            var cleared = known! with { IsCleared = true, ChangedAt = at };

            // The change still says that nobody is called for it; the alarm itself is done with the window.
            Put(cleared, AlarmChangeKinds.Cleared);
            _alarms[key] = cleared with { MaintenanceId = "" };
            return;
        }

        var text = condition?.Text ?? known!.Text;
        var nextSteps = condition?.NextSteps ?? known!.NextSteps;
        if (known is { IsCleared: false })
        {
            Put(known with { Severity = active, ChangedAt = at, Text = text, NextSteps = nextSteps }, AlarmChangeKinds.SeverityChanged);
            return;
        }

        // What a person said of the last time does not count for this one; only a shelf stays shut, that being its purpose.
        var raised = known is { OperatorState: OperatorState.Shelved }
            ? known with { Severity = active, IsCleared = false, RaisedAt = at, ChangedAt = at, Text = text, NextSteps = nextSteps }
            : new Alarm(key, active, false, at, at, text, nextSteps, OperatorState.None, "", "");
        Put(raised with { MaintenanceId = window }, window.Length > 0 ? AlarmChangeKinds.Suppressed : AlarmChangeKinds.Raised);
    }

    /// <summary>The window over an alarm is over and its condition holds: now people hear of it.</summary>
    public void RaiseWhatStillHolds(AlarmKey key, AlarmCondition? condition, string window)
    {
        if (window.Length == 0 && _alarms.TryGetValue(key, out var alarm) && alarm is { IsCleared: false, MaintenanceId.Length: > 0 })
        {
            Put(
                alarm with
                {
                    MaintenanceId = "",
                    RaisedAt = at,
                    ChangedAt = at,
                    Text = condition?.Text ?? alarm.Text,
                    NextSteps = condition?.NextSteps ?? alarm.NextSteps,
                },
                AlarmChangeKinds.Raised);
        }
    }

    /// <summary>Shelves whose time is over, and accepted deviations that grew, come back by themselves.</summary>
    public void EndShelves()
    {
        foreach (var alarm in _alarms.Values.Where(a => a.OperatorState == OperatorState.Shelved).ToList())
        {
            if (alarm.Shelf?.EndsBecause(at, alarm) is { } reason)
            {
                Put(
                    alarm with { OperatorState = OperatorState.UnShelved, OperatorName = "", OperatorText = reason, Shelf = null, ChangedAt = at },
                    AlarmChangeKinds.Of(OperatorState.UnShelved),
                    reason);
            }
        }
    }

    public AlarmBookStep ToStep(Func<ImmutableSortedDictionary<AlarmKey, Alarm>, AlarmBook> book) =>
        new(book(_alarms.ToImmutable()), _changes.ToImmutable(), [.. _changed.Select(key => _alarms[key])]);

    private void Put(Alarm alarm, string kind, string? text = null)
    {
        _alarms[alarm.Key] = alarm;
        _changed.Add(alarm.Key);
        _changes.Add(new AlarmChange(alarm.Key, at, kind, alarm.Severity, "", text ?? alarm.Text) { QuietBecause = alarm.QuietBecause });
    }
}
