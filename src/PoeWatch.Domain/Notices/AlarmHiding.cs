using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Notices;

/// <summary>Which alarms call nobody: those that a person shelved or accepted, and those that a maintenance window suppresses.</summary>
public static class AlarmHiding
{
    /// <summary>True where nobody is called for the alarm as it now is.</summary>
    public static bool IsHidden(Alarm alarm) => alarm.QuietBecause.Length > 0;

    /// <summary>True where nobody is called for a change: it was quiet then, or the alarm is now.</summary>
    public static bool IsHidden(AlarmChange change, Alarm? alarm) => change.QuietBecause.Length > 0 || (alarm is not null && IsHidden(alarm));
}
