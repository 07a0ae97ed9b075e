using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using static PoeWatch.Domain.Tests.Rollups.Polls;

namespace PoeWatch.Domain.Tests.Rollups;

/// <summary>What holds for any samples: drawn by seed, with gaps, silences, ceilings, ports off, jitter and clocks that step. The seed is in the message.</summary>
public sealed class RollupPropertyTests
{
    private const int Runs = 300;

    public static TheoryData<int> Seeds => [.. Enumerable.Range(1, 12)];

    [Theory]
    [MemberData(nameof(Seeds))]
    public void Energy_and_time_add_up_over_any_cut(int seed) => Each(seed, (random, samples, text) =>
    {
        var whole = Assert.Single(Rolled(samples, 0, 60));
        double[] cuts = [0, .. Enumerable.Range(0, random.Next(1, 12)).Select(_ => Math.Round(random.NextDouble() * 60, 3)).Where(c => c is > 0 and < 60).Distinct().Order(), 60];
        var parts = Rolled(samples, cuts);
        Assert.True(Math.Abs(whole.EnergyWattHours - parts.Sum(p => p.EnergyWattHours)) < 1e-9, text);
        Assert.True(whole.Known == parts.Aggregate(default(KnownTime), (sum, p) => sum + p.Known), text);
    });

    [Theory]
    [MemberData(nameof(Seeds))]
    public void Quarter_hours_merged_are_the_hour(int seed) => Each(seed, (_, samples, text) =>
    {
        var hour = Assert.Single(Rolled(samples, 0, 60));
        var merged = DrawRollup.Merge([.. Rolled(samples, 0, 15, 30, 45, 60)], At(0), At(60));
        Assert.True(
            (hour.Min, hour.Max, hour.Ceiling, hour.Known, hour.Provenance) == (merged.Min, merged.Max, merged.Ceiling, merged.Known, merged.Provenance), text);
        Assert.True(Math.Abs(hour.EnergyWattHours - merged.EnergyWattHours) < 1e-9, text);
        Assert.True(Math.Abs(hour.PartsCoverage - merged.PartsCoverage) < 1e-12, text);
    });

    [Theory]
    [MemberData(nameof(Seeds))]
    public void The_order_in_which_data_came_does_not_count(int seed) => Each(seed, (random, samples, text) =>
    {
        var shuffled = samples.ToArray();
        random.Shuffle(shuffled);
        Assert.True(Rolled(samples, 0, 15, 60).SequenceEqual(Rolled(shuffled.OrderBy(s => s.Minute), 0, 15, 60)), text);
    });

    [Theory]
    [MemberData(nameof(Seeds))]
    public void An_interval_agrees_with_a_count_of_every_second(int seed) => Each(seed, (_, samples, text) =>
    {
        // The same by brute force: 3,600 looks at the newest poll, by the rule as it is written in docs/rollups.md. Samples lie on whole seconds.
        var looks = Enumerable.Range(0, 3_600).Select(second => Look(samples, second / 60.0)).ToArray();
        var draws = looks.Where(l => l.Provenance.IsDraw()).Select(l => l.Watts!.Value.Milliwatts).Order().ToArray();
        var hour = Assert.Single(Rolled(samples, 0, 60));
        Assert.True(draws.Length == hour.Known.OfDraws.TotalSeconds, text);
        Assert.True(looks.Count(l => l.Provenance.IsCeiling()) == hour.Known.OfCeilings.TotalSeconds, text);
        Assert.True(Math.Abs((draws.Sum() / 3_600_000.0) - hour.EnergyWattHours) < 1e-9, text);
        long? percentile = draws.Length == 0 ? null : draws[(int)Math.Ceiling(0.95m * draws.Length) - 1];
        Assert.True((draws.Length == 0 ? null : draws[0], draws.Length == 0 ? null : draws[^1], percentile)
            == (hour.Min?.Milliwatts, hour.Max?.Milliwatts, hour.Percentile95?.Milliwatts), text);
    });

    private static KnownPower Look((double Minute, KnownPower Power)[] samples, double minute)
    {
        var before = samples.LastOrDefault(s => s.Minute <= minute, (Minute: double.MinValue, Power: KnownPower.Nothing));
        var after = samples.FirstOrDefault(s => s.Minute > minute, (Minute: double.MaxValue, Power: KnownPower.Nothing)).Minute;
        var holds = after - before.Minute <= 3 + 1e-9 ? after : before.Minute + 1;
        return minute < holds - 1e-9 ? before.Power : KnownPower.Nothing;
    }

    private static void Each(int seed, Action<Random, (double Minute, KnownPower Power)[], string> check)
    {
        for (var run = 0; run < Runs; run++)
        {
            var random = new Random((seed * 10_000) + run);
            check(random, Samples(random), string.Create(CultureInfo.InvariantCulture, $"seed {(seed * 10_000) + run}"));
        }
    }

    private static (double Minute, KnownPower Power)[] Samples(Random random)
    {
        var samples = new SortedDictionary<int, KnownPower>();
        for (var second = random.Next(-300, 200); second < 3_900;)
        {
            samples[second] = random.Next(10) switch
            {
                0 => KnownPower.Nothing,
                1 => Off,
                2 => Ceiling(random.Next(4, 91)),
                3 => new KnownPower(Power.FromMilliwatts(random.Next(90_000)), Provenance.Estimated),
                _ => new KnownPower(Power.FromMilliwatts(5_000 + random.Next(200)), Provenance.Measured),
            };
            second += random.Next(20) switch { 0 => random.Next(180, 900), 1 => -random.Next(1, 60), _ => 55 + random.Next(11) };
        }

        return [.. samples.Select(s => (s.Key / 60.0, s.Value))];
    }
}
