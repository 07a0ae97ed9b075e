using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Notices;

/// <summary>
/// Decides which changes of alarms a lane is told. Who was told of an alarm is also told of its end; who was not, never. An alarm that is hidden
/// (shelved, accepted, or suppressed by a maintenance window) is not told; once it is hidden no longer and still active, it is. Pure.
/// </summary>
public static class NoticePlanner
{
    /// <summary>Plans for changes in the order of their numbers.</summary>
    /// <param name="alarms">Alarms as they now are.</param>
    public static NoticePlan OfChanges(
        PlanFrame frame, ImmutableDictionary<AlarmKey, ToldAlarm> told, IEnumerable<NumberedChange> changes, IReadOnlyDictionary<AlarmKey, Alarm> alarms)
    {
        var notices = ImmutableArray.CreateBuilder<NewNotice>();
        foreach (var (number, change) in changes)
        {
            var alarm = alarms.GetValueOrDefault(change.Key);
            var before = told.GetValueOrDefault(change.Key);
            var (kind, after) = Decide(frame, change, alarm, before);
            if (kind is not null)
            {
                notices.Add(Notice(frame, FormattableString.Invariant($"change-{number}"), change with { Kind = kind }, alarm, (after ?? before)?.RaisedAt));
            }

            told = after is null ? told.Remove(change.Key) : told.SetItem(change.Key, after);
        }

        return new NoticePlan(notices.ToImmutable(), told);
    }

    /// <summary>Plans for what no change tells: alarms that are hidden no longer, and told ones that are gone. Only where no change waits.</summary>
    public static NoticePlan OfState(PlanFrame frame, ImmutableDictionary<AlarmKey, ToldAlarm> told, IReadOnlyDictionary<AlarmKey, Alarm> alarms)
    {
        var notices = ImmutableArray.CreateBuilder<NewNotice>();
        foreach (var alarm in alarms.Values.Where(a => !a.IsCleared && a.RaisedAt >= frame.OpenedAt && !told.ContainsKey(a.Key)).OrderBy(a => a.Key))
        {
            if (!AlarmHiding.IsHidden(alarm) && frame.Route.Wants(alarm.Key.Type, alarm.Severity, frame.Places.PoleIds(alarm.Key.Resource)))
            {
                var raised = new AlarmChange(alarm.Key, frame.Now, AlarmChangeKinds.Raised, alarm.Severity, "", alarm.Text);
                notices.Add(Notice(frame, PostKey("still", alarm.Key, alarm.RaisedAt), raised, alarm, alarm.RaisedAt));
                told = told.SetItem(alarm.Key, new ToldAlarm(alarm.Key, alarm.Severity, alarm.RaisedAt));
            }
        }

        foreach (var over in told.Values.Where(t => alarms.GetValueOrDefault(t.Key) is not { IsCleared: false }).OrderBy(t => t.Key))
        {
            var alarm = alarms.GetValueOrDefault(over.Key);
            var cleared = new AlarmChange(over.Key, alarm?.ChangedAt ?? frame.Now, AlarmChangeKinds.Cleared, over.Severity, "", alarm?.Text ?? "");
            notices.Add(Notice(frame, PostKey("over", over.Key, over.RaisedAt), cleared, alarm, over.RaisedAt));
            told = told.Remove(over.Key);
        }

        return new NoticePlan(notices.ToImmutable(), told);
    }

    // What is told of a change (null: nothing), and what the lane knows of the alarm then.
    private static (string? Kind, ToldAlarm? Told) Decide(PlanFrame frame, AlarmChange change, Alarm? alarm, ToldAlarm? told)
    {
        var route = frame.Route;
        switch (change.Kind)
        {
            case AlarmChangeKinds.Cleared:
                return (told is null ? null : AlarmChangeKinds.Cleared, null);
            case AlarmChangeKinds.Raised or AlarmChangeKinds.SeverityChanged:
                var isWanted = route.Wants(change.Key.Type, change.Severity, frame.Places.PoleIds(change.Key.Resource));
                var isNew = change.Kind == AlarmChangeKinds.Raised;
                if (AlarmHiding.IsHidden(change, alarm))
                {
                    return (null, told);
                }

                // A raise that is known already was told from the state; one after an end that was never told is told anew.
                if (isNew && told is not null && told.RaisedAt >= change.At)
                {
                    return (null, told);
                }

                if (told is null || isNew)
                {
                    return isWanted
                        ? (AlarmChangeKinds.Raised, new ToldAlarm(change.Key, change.Severity, RaisedAt(change, alarm)))
                        : (null, told);
                }

                // Told once, it is also told when it becomes milder than the role wants: else the last word would be too harsh.
                return told.Severity == change.Severity ? (null, told) : (AlarmChangeKinds.SeverityChanged, told with { Severity = change.Severity });
            default:
                return (told is not null && route.TellsOperatorStates ? change.Kind : null, told);
        }
    }

    private static DateTimeOffset RaisedAt(AlarmChange change, Alarm? alarm) =>
        change.Kind == AlarmChangeKinds.SeverityChanged && alarm is not null && alarm.RaisedAt <= change.At ? alarm.RaisedAt : change.At;

    private static NewNotice Notice(PlanFrame frame, string postKey, AlarmChange change, Alarm? alarm, DateTimeOffset? since)
    {
        var isOver = change.Kind == AlarmChangeKinds.Cleared;
        var content = new NoticeContent(
            change.Key.Resource,
            change.Key.Type,
            change.Kind,
            change.Severity,
            change.At,
            since,
            frame.Places.Words(change.Key.Resource),
            frame.Places.PoleIds(change.Key.Resource).FirstOrDefault() ?? "",
            change.Text,
            isOver ? "" : alarm?.NextSteps ?? "",
            change.Who);
        var (dueAt, isHeld) = frame.Route.DueAt(change.Severity, frame.Now, frame.Zone);
        return new NewNotice(frame.Lane, postKey, content, dueAt, isHeld);
    }

    private static string PostKey(string what, AlarmKey key, DateTimeOffset raisedAt) =>
        FormattableString.Invariant($"{what}-{key}@{raisedAt.UtcTicks / TimeSpan.TicksPerMicrosecond}");
}
