using System.Collections.Immutable;

namespace PoeWatch.Domain.Alarms.Figures;

/// <summary>
/// Floods as ISA-18.2 counts them: the period is cut into ten minutes one after the other; a flood begins with more than ten alarms in one of them and
/// ends with fewer than five. Pure.
/// </summary>
internal static class AlarmFloods
{
    public static readonly TimeSpan Window = TimeSpan.FromMinutes(10);
    private const int BeginsAbove = 10;
    private const int EndsBelow = 5;

    /// <param name="times">In order.</param>
    public static ImmutableArray<AlarmFlood> Find(IReadOnlyList<DateTimeOffset> times, DateTimeOffset from, DateTimeOffset to)
    {
        var counts = times.GroupBy(t => (t - from).Ticks / Window.Ticks).ToDictionary(g => g.Key, g => g.Count());
        var floods = ImmutableArray.CreateBuilder<AlarmFlood>();
        AlarmFlood? open = null;
        var next = 0L;
        foreach (var window in counts.Keys.Order())
        {
            // Ten minutes without any alarm lie between: a flood ended with the first of them.
            if (open is not null && window > next)
            {
                floods.Add(open with { To = from + (Window * next) });
                open = null;
            }

            var count = counts[window];
            if (open is null && count > BeginsAbove)
            {
                open = new AlarmFlood(from + (Window * window), to, count, count);
            }
            else if (open is not null && count < EndsBelow)
            {
                floods.Add(open with { To = from + (Window * window) });
                open = null;
            }
            else if (open is not null)
            {
                open = open with { Alarms = open.Alarms + count, PeakIn10Minutes = Math.Max(open.PeakIn10Minutes, count) };
            }

            next = window + 1;
        }

        if (open is not null)
        {
            var end = from + (Window * next);
            floods.Add(open with { To = end < to ? end : to });
        }

        return floods.ToImmutable();
    }
}
