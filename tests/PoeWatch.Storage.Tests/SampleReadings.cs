using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Storage.Tests;

/// <summary>Readings for tests: named ones, and seeded random ones that reach every state, provenance and class.</summary>
internal static class SampleReadings
{
    internal static readonly DateTimeOffset Start = new(2026, 3, 1, 6, 0, 0, TimeSpan.Zero);

    internal static PortReading Port(string pseId, int port, long milliwatts) => new(
        new PsePortRef(pseId, 1, port), PortState.Delivering, Power.FromMilliwatts(milliwatts), Provenance.Measured, PoeClass.Class4);

    internal static SwitchReading Answered(string pseId, long sequence, DateTimeOffset at, params PortReading[] ports) =>
        new(pseId, sequence, at, PollOutcome.Answered, "", TimeSpan.FromSeconds(sequence), [.. ports], []);

    /// <summary>A poll of two ports whose watts follow from its number.</summary>
    internal static SwitchReading Numbered(string pseId, int number) => Answered(
        pseId, number, Start.AddSeconds(number), Port(pseId, 1, number), Port(pseId, 2, 1000L + number));

    internal static SwitchReading Silent(string pseId, long sequence, DateTimeOffset at) =>
        new(pseId, sequence, at, PollOutcome.Silent, "No answer within 2 s after 3 tries. Check power and uplink.", null, [], []);

    /// <summary>Every state with every provenance, with and without class, with and without watts.</summary>
    internal static SwitchReading EveryCombination(string pseId, long sequence, DateTimeOffset at)
    {
        var ports = ImmutableArray.CreateBuilder<PortReading>();
        foreach (var state in Enum.GetValues<PortState>())
        {
            foreach (var provenance in Enum.GetValues<Provenance>())
            {
                var number = ports.Count + 1;
                Power? power = provenance == Provenance.Unknown ? null
                    : provenance == Provenance.Off ? Power.Zero
                    : Power.FromMilliwatts(number * 977L);
                PoeClass? assigned = number % 10 == 9 ? null : (PoeClass)(number % 10);
                ports.Add(new PortReading(new PsePortRef(pseId, 1 + (number / 48), number), state, power, provenance, assigned));
            }
        }

        return new SwitchReading(pseId, sequence, at, PollOutcome.Answered, "", TimeSpan.FromMilliseconds(123450), ports.ToImmutable(), Groups());
    }

    internal static ImmutableArray<GroupReading> Groups() =>
    [
        new(1, Power.FromWatts(720), Power.FromWatts(311), Provenance.Measured, true),
        new(2, Power.FromWatts(370), null, Provenance.Unknown, false),
        new(3, null, Power.Zero, Provenance.Estimated, null),
    ];

    internal static ImmutableDictionary<PsePortRef, string> Names(string pseId, string prefix, int count) =>
        Enumerable.Range(1, count).ToImmutableDictionary(n => new PsePortRef(pseId, 1, n), n => $"{prefix}/{n}");

    internal static SwitchReading Random(Random random, string pseId, long sequence, DateTimeOffset at)
    {
        if (random.Next(8) == 0)
        {
            return Silent(pseId, sequence, at);
        }

        var ports = Enumerable.Range(1, random.Next(1, 53)).Select(number => RandomPort(random, pseId, number)).ToImmutableArray();
        TimeSpan? upTime = random.Next(6) == 0 ? null : TimeSpan.FromTicks(random.NextInt64(0, TimeSpan.FromDays(497).Ticks));
        var reading = new SwitchReading(
            pseId,
            sequence,
            at,
            random.Next(5) == 0 ? PollOutcome.Partial : PollOutcome.Answered,
            random.Next(5) == 0 ? $"column {random.Next(9)} was refused – größer" : "",
            upTime,
            ports,
            random.Next(3) == 0 ? [] : Groups());
        return random.Next(3) == 0 ? reading : reading with { InterfaceNames = Names(pseId, $"Gi{random.Next(3)}", ports.Length) };
    }

    private static PortReading RandomPort(Random random, string pseId, int number)
    {
        var provenance = (Provenance)random.Next(11);
        Power? power = provenance == Provenance.Unknown ? null
            : provenance == Provenance.Off ? Power.Zero
            : Power.FromMilliwatts(random.Next(10) == 0 ? random.NextInt64(-5000, 1L << 50) : random.Next(0, 95_000));
        PoeClass? assigned = random.Next(10) is var c and < 9 ? (PoeClass)c : null;
        var group = random.Next(12) == 0 ? random.Next(1, 9) : 1;
        return new PortReading(new PsePortRef(pseId, group, number), (PortState)random.Next(7), power, provenance, assigned)
        {
            Priority = (Criticality)random.Next(4),
        };
    }
}
