using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Notices;

/// <summary>An alarm that a lane was told of and not yet told to be over.</summary>
/// <param name="RaisedAt">When the alarm was raised.</param>
public sealed record ToldAlarm(AlarmKey Key, AlarmSeverity Severity, DateTimeOffset RaisedAt);

/// <summary>A change of an alarm with its number in the store: numbers rise with time.</summary>
public sealed record NumberedChange(long Number, AlarmChange Change);

/// <summary>What a lane has to post after changes of alarms, and what it has been told then.</summary>
/// <param name="Told">All alarms that the lane has been told of, after this.</param>
public sealed record NoticePlan(ImmutableArray<NewNotice> Notices, ImmutableDictionary<AlarmKey, ToldAlarm> Told);

/// <summary>What planning needs to know beside the changes. Immutable.</summary>
/// <param name="Places">Where resources are.</param>
/// <param name="Zone">The site's zone.</param>
/// <param name="OpenedAt">Since when the lane is there: alarms that were raised before are not told.</param>
public sealed record PlanFrame(
    NoticeLane Lane, RoleRoute Route, NoticePlaces Places, TimeZoneInfo Zone, DateTimeOffset OpenedAt, DateTimeOffset Now);
