using System.Collections.Immutable;

namespace PoeWatch.Domain.Alarms;

/// <summary>
/// On-delay, off-delay and deadband of one key. Each severity is a switch with two delays; a switch holds whenever a more severe one does, so the
/// highest that is on is the severity of the alarm. Immutable.
/// </summary>
/// <param name="Active">The severity that is on; Unknown where none is.</param>
/// <param name="Held">For each severity of the ladder: how long the opposite of its position was seen to hold; null where it does not.</param>
/// <param name="KnownAt">The last step, by the running clock, where the key was known then; else null: what passed since is not counted.</param>
internal sealed record AlarmLatch(AlarmSeverity Active, ImmutableArray<TimeSpan?> Held, TimeSpan? KnownAt)
{
    private static readonly ImmutableArray<AlarmSeverity> Ladder =
        [AlarmSeverity.Warning, AlarmSeverity.Minor, AlarmSeverity.Major, AlarmSeverity.Critical];

    public static AlarmLatch Steady(AlarmSeverity active) => new(active, [null, null, null, null], null);

    /// <summary>True where it is on and the whole of its condition is gone: it waits for its off-delay.</summary>
    public bool IsClearing => Active != AlarmSeverity.Unknown && Held[0] is not null;

    /// <summary>True where a delay is under way.</summary>
    public bool IsWaiting => Held.Any(h => h is not null);

    /// <summary>True where there is nothing to remember: no alarm and no delay under way.</summary>
    public bool IsIdle => Active == AlarmSeverity.Unknown && !IsWaiting;

    /// <summary>Nothing is known now: delays keep what they have and stand still until the key is known at two steps again.</summary>
    public AlarmLatch Wait() => KnownAt is null ? this : this with { KnownAt = null };

    /// <param name="condition">What the rule says now; null where it says nothing.</param>
    /// <param name="running">The running clock.</param>
    /// <param name="timings">Those of the type.</param>
    public AlarmLatch Next(AlarmCondition? condition, TimeSpan running, AlarmTimings timings)
    {
        var passed = KnownAt is { } at && running > at ? running - at : TimeSpan.Zero;
        var active = AlarmSeverity.Unknown;
        var held = new TimeSpan?[Ladder.Length];
        for (var i = 0; i < Ladder.Length; i++)
        {
            var isOn = Ladder[i] <= Active;
            var holds = condition is not null && Holds(condition, Ladder[i], isOn, timings);
            if (holds != isOn)
            {
                var since = Held[i] is { } before ? before + passed : TimeSpan.Zero;
                var delay = holds ? condition!.OnDelay ?? timings.OnDelay : timings.OffDelay;
                if (since >= delay)
                {
                    isOn = holds;
                }
                else
                {
                    held[i] = since;
                }
            }

            active = isOn ? Ladder[i] : active;
        }

        return new AlarmLatch(active, [.. held], running);
    }

    private static bool Holds(AlarmCondition condition, AlarmSeverity severity, bool isOn, AlarmTimings timings)
    {
        if (condition.Levels.IsDefaultOrEmpty)
        {
            return condition.Severity >= severity && IsBelow(condition.Floor);
        }

        return condition.Levels.Any(level => level.Severity >= severity && IsBelow(level.Floor));

        bool IsBelow(double floor) => condition.Value < (isOn ? timings.ClearsAt(floor) : floor);
    }
}
