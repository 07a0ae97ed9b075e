using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Demands;

/// <summary>A port that starts after an outage. Immutable.</summary>
/// <param name="Port">Number within the group.</param>
/// <param name="Assigned">Class that decides what may flow in while it starts.</param>
/// <param name="Boot">At the PSE while its devices boot.</param>
/// <param name="BootLasts">The longest boot behind it.</param>
/// <param name="After">At the PSE once they run.</param>
public readonly record struct StartingPort(
    int Port, Criticality Criticality, PoeClass Assigned, Voltage Source, Power Boot, TimeSpan BootLasts, Power After);

/// <summary>The moment of a cold start at which a group has to give most.</summary>
/// <param name="After">Since power came back.</param>
/// <param name="Watts">At the PSE, all ports together.</param>
/// <param name="StartingCount">Ports that start at that moment.</param>
public readonly record struct StartMoment(TimeSpan After, Power Watts, int StartingCount);

/// <summary>What a group has to give when all its ports start after an outage. Immutable.</summary>
/// <param name="WorstBoot">The most that devices draw, boots and all: held against the budget.</param>
/// <param name="WorstInrush">The most that flows while inputs fill, at most 75 ms at a time: held against the supplies.</param>
/// <param name="Lasts">Until the last port has started.</param>
public sealed record ColdStartDemand(StartMoment WorstBoot, StartMoment WorstInrush, TimeSpan Lasts);

/// <summary>
/// Everything starts after an outage: the most critical ports first, within a level the lowest number first, as many at once as the design says. Pure and thread safe.
/// </summary>
/// <remarks>
/// That a PSE staggers ports by priority, and that inrush and boot peaks must stay under the supply's limit: common practice, no source. Inrush by class: <see cref="Inrush"/>. What flows into
/// devices behind an extender or a pass-through switch comes later and out of that element, so only the port's own PD counts here.
/// </remarks>
public static class StaggeredStart
{
    /// <param name="ports">Ports that are not off by plan.</param>
    /// <param name="atOnce">How many start at once; null: all.</param>
    /// <param name="interval">From one start to the next; longer than an inrush lasts.</param>
    public static ColdStartDemand Of(IEnumerable<StartingPort> ports, int? atOnce, TimeSpan interval)
    {
        ArgumentNullException.ThrowIfNull(ports);
        if (atOnce is not null)
        {
            ArgumentOutOfRangeException.ThrowIfNegativeOrZero(atOnce.Value);
            ArgumentOutOfRangeException.ThrowIfLessThan(interval, Inrush.TimerLongest);
        }

        ImmutableArray<StartingPort> order = [.. ports.OrderBy(port => PowerSharing.Rank(port.Criticality)).ThenBy(port => port.Port)];
        var size = Math.Max(1, atOnce ?? order.Length);
        var settled = new StartMoment(TimeSpan.Zero, Sum(order.Select(port => port.After)), 0);
        var (worstBoot, worstInrush) = (settled, settled);
        var steps = (order.Length + size - 1) / size;
        for (var step = 0; step < steps; step++)
        {
            ImmutableArray<StartingPort> starting = [.. order.Skip(step * size).Take(size)];
            var at = interval * step;
            var running = Sum(order.Take(step * size).Select((port, i) => at - (interval * (i / size)) < port.BootLasts ? port.Boot : port.After));
            worstBoot = Larger(worstBoot, new StartMoment(at, running + Sum(starting.Select(port => port.Boot)), starting.Length));
            worstInrush = Larger(worstInrush, new StartMoment(at, running + InrushOf(starting), starting.Length));
        }

        return new ColdStartDemand(worstBoot, worstInrush, interval * Math.Max(0, steps - 1));
    }

    private static Power InrushOf(ImmutableArray<StartingPort> starting) => Sum(starting
        .GroupBy(port => (port.Assigned, port.Source))
        .Select(alike => Inrush.WorstTogether(alike.Key.Assigned, alike.Key.Source, alike.Count())));

    private static StartMoment Larger(StartMoment known, StartMoment other) => other.Watts > known.Watts ? other : known;

    private static Power Sum(IEnumerable<Power> watts) => watts.Aggregate(Power.Zero, static (sum, next) => sum + next);
}
