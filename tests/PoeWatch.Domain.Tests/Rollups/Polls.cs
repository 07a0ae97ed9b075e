using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;

namespace PoeWatch.Domain.Tests.Rollups;

/// <summary>Polls of one port written as minutes and watts, and what comes of them.</summary>
internal static class Polls
{
    internal static readonly PsePortRef Port = new("quay", 1, 1);
    internal static readonly DateTimeOffset Start = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);
    internal static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    internal static KnownPower Off => new(Power.Zero, Provenance.Off);

    internal static KnownPower Measured(double watts) => new(Power.FromWatts(watts), Provenance.Measured);

    internal static KnownPower Ceiling(double watts) => new(Power.FromWatts(watts), Provenance.Allocated);

    internal static DateTimeOffset At(double minute) => Start + (Minute * minute);

    internal static (double Minute, KnownPower Power)[] EveryMinute(int from, int to, Func<int, KnownPower> power) =>
        [.. Enumerable.Range(from, to - from).Select(m => ((double)m, power(m)))];

    /// <summary>A poll of the one port; silent where nothing is known.</summary>
    internal static SwitchReading Poll(double minute, KnownPower power) => new(
        Port.PseId, 0, At(minute), power.Watts is null ? PollOutcome.Silent : PollOutcome.Answered, "", null,
        power.Watts is null ? [] : [new PortReading(Port, PortState.Delivering, power.Watts, power.Provenance, null)], []);

    internal static List<HeldPoll> Held(IEnumerable<SwitchReading> polls)
    {
        var holder = new PollHolder(Minute);
        var held = polls.Select(holder.Add).OfType<HeldPoll>().ToList();
        if (holder.End() is { } last)
        {
            held.Add(last);
        }

        return held;
    }

    /// <summary>Rolls samples up between minutes.</summary>
    internal static IReadOnlyList<DrawRollup> Rolled(IEnumerable<(double Minute, KnownPower Power)> samples, params double[] boundMinutes) =>
        Rolled(samples, [.. boundMinutes.Select(At)]);

    internal static IReadOnlyList<DrawRollup> Rolled(IEnumerable<(double Minute, KnownPower Power)> samples, DateTimeOffset[] bounds)
    {
        var cutter = new RollupCutter(bounds);
        foreach (var held in Held(samples.Select(s => Poll(s.Minute, s.Power))))
        {
            var port = held.Reading.Ports.FirstOrDefault();
            cutter.Add(held.Start, held.End, port is null ? KnownPower.Nothing : new KnownPower(port.DrawAtPse, port.Provenance));
        }

        return cutter.Finish();
    }
}
