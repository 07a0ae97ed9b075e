using System.Collections.Immutable;

namespace PoeWatch.Domain.Alarms.Figures;

/// <summary>Which alarms stood at a moment that is over, worked out of the changes before and after it. Pure.</summary>
public static class PastAlarms
{
    /// <summary>How far before the moment changes have to be read: what began earlier stood longer than a standing alarm has to.</summary>
    public static readonly TimeSpan Before = TimeSpan.FromHours(24);

    private static readonly string[] s_ofLife = [AlarmChangeKinds.Raised, AlarmChangeKinds.SeverityChanged, AlarmChangeKinds.Suppressed, AlarmChangeKinds.Cleared];

    /// <summary>Alarms that were active for more than 24 h at the moment and called for somebody.</summary>
    /// <param name="changes">All changes from 24 h before the moment, or earlier, up to now, in order of time.</param>
    /// <param name="now">Alarms as they are now.</param>
    public static ImmutableArray<AlarmKey> StandingAt(DateTimeOffset at, IEnumerable<AlarmChange> changes, IEnumerable<Alarm> now)
    {
        var byKey = changes.ToLookup(c => c.Key);
        var alarms = now.ToDictionary(a => a.Key);
        return [.. byKey.Select(g => g.Key).Union(alarms.Keys).Where(key => IsStanding(at, [.. byKey[key]], alarms.GetValueOrDefault(key))).Order()];
    }

    private static bool IsStanding(DateTimeOffset at, List<AlarmChange> changes, Alarm? now)
    {
        var cut = changes.FindIndex(c => c.At >= at);
        var (before, after) = cut < 0 ? (changes, []) : (changes[..cut], changes[cut..]);
        return IsActive(at, before, after, now) && !IsQuiet(before, after, now) && at - RaisedAt(before, after, now) > Before;
    }

    private static bool IsActive(DateTimeOffset at, List<AlarmChange> before, List<AlarmChange> after, Alarm? now) =>
        before.FindLast(IsOfLife) is { } last ? last.Kind != AlarmChangeKinds.Cleared
        : after.Find(IsOfLife) is { } next ? next.Kind != AlarmChangeKinds.Raised
        : now is { IsCleared: false } && now.RaisedAt < at;

    /// <summary>The last raise that is known; where it was earlier than what was read, long ago.</summary>
    private static DateTimeOffset RaisedAt(List<AlarmChange> before, List<AlarmChange> after, Alarm? now)
    {
        var cleared = before.FindLastIndex(c => c.Kind == AlarmChangeKinds.Cleared);
        return before.Skip(cleared + 1).FirstOrDefault(c => c.Kind == AlarmChangeKinds.Raised || (cleared >= 0 && c.Kind == AlarmChangeKinds.Suppressed)) is { } raise ? raise.At
            : after.Count == 0 && now is not null ? now.RaisedAt
            : DateTimeOffset.MinValue;
    }

    private static bool IsQuiet(List<AlarmChange> before, List<AlarmChange> after, Alarm? now) =>
        before.Count > 0 ? before[^1].QuietBecause.Length > 0
        : after.Count == 0 ? now is { QuietBecause.Length: > 0 }
        : after[0].Kind switch
        {
            // The change itself is what made it quiet, or not quiet any more.
            AlarmChangeKinds.Suppressed or AlarmChangeKinds.Accepted => false,
            var kind when kind == AlarmChangeKinds.Of(OperatorState.Shelved) => false,
            var kind when kind == AlarmChangeKinds.Of(OperatorState.UnShelved) => true,
            _ => after[0].QuietBecause.Length > 0,
        };

    private static bool IsOfLife(AlarmChange change) => s_ofLife.Contains(change.Kind);
}
