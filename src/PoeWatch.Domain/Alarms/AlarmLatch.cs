using System.Collections.Immutable;

namespace PoeWatch.Domain.Alarms;

/// <summary>
/// On-delay, off-delay and deadband of one key. Each severity is a switch with two delays; a switch holds whenever a more severe one does, so the
/// highest that is on is the severity of the alarm. Immutable.
/// </summary>
/// <param name="Active">The severity that is on; Unknown where none is.</param>
/// <param name="Since">For each severity of the ladder: since when the opposite of its position holds; null where it does not.</param>
internal sealed record AlarmLatch(AlarmSeverity Active, ImmutableArray<DateTimeOffset?> Since)
{
    private static readonly ImmutableArray<AlarmSeverity> Ladder =
        [AlarmSeverity.Warning, AlarmSeverity.Minor, AlarmSeverity.Major, AlarmSeverity.Critical];

    public static AlarmLatch Steady(AlarmSeverity active) => new(active, [null, null, null, null]);

    /// <summary>True where there is nothing to remember: no alarm and no delay under way.</summary>
    public bool IsIdle => Active == AlarmSeverity.Unknown && Since.All(s => s is null);

    /// <param name="condition">What the rule says now; null where it says nothing.</param>
    public AlarmLatch Next(AlarmCondition? condition, DateTimeOffset now, AlarmTimings timings)
    {
        var active = AlarmSeverity.Unknown;
        var since = new DateTimeOffset?[Ladder.Length];
        for (var i = 0; i < Ladder.Length; i++)
        {
            var isOn = Ladder[i] <= Active;
            var holds = condition is not null && Holds(condition, Ladder[i], isOn, timings);
            if (holds != isOn)
            {
                // A clock that was stepped back would leave a beginning in the future: the delay then starts anew.
                var began = Since[i] is { } earlier && earlier <= now ? earlier : now;
                var delay = holds ? condition!.OnDelay ?? timings.OnDelay : timings.OffDelay;
                if (now - began >= delay)
                {
                    isOn = holds;
                }
                else
                {
                    since[i] = began;
                }
            }

            active = isOn ? Ladder[i] : active;
        }

        return new AlarmLatch(active, [.. since]);
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
