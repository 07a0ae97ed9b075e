using PoeWatch.Domain.EnergyBalance;
using PoeWatch.TestKit;

namespace PoeWatch.Domain.Tests.EnergyBalance;

/// <summary>Drawn segments over five weeks: how often a sound one is called grown, how many that grow are told, and how soon.</summary>
public sealed class CableGrowthEvidenceTests
{
    [Fact]
    public void Sound_cables_raise_no_alarm_and_grown_ones_do()
    {
        var (rounds, seed) = (EvidenceRun.Rounds(40), EvidenceRun.Seed(1));
        var segments = Enumerable.Range(0, rounds).Select(number => unchecked((seed * 100_003) + 50_000 + number)).ToArray();

        var falseAlarms = segments.Count(number => DaysUntilTold(number, 1.0) is not null);
        var told = segments.Select(number => DaysUntilTold(number, 1.4)).ToArray();
        var days = told.OfType<int>().Order().ToArray();

        EvidenceRun.Note("sound segments over five weeks that would be alarmed", falseAlarms);
        EvidenceRun.Note("segments that grow by 40 % after two weeks and are alarmed within three", days.Length);
        EvidenceRun.Note("days until then, median and worst", $"{days[days.Length / 2]} and {days[^1]}");
        Assert.True(falseAlarms <= rounds / 40, $"Seed {seed}: {falseAlarms} of {rounds} sound segments would be alarmed.");
        Assert.True(days.Length >= 0.8 * rounds, $"Seed {seed}: only {days.Length} of {rounds} grown segments would be alarmed.");
    }

    private static int? DaysUntilTold(int number, double growth)
    {
        var drawn = new DrawnSegment(number);
        var memory = new SegmentMemory(MeteredSegmentTests.Segment(TimeSpan.FromMinutes(1), drawn.TrueOhms));
        var samples = drawn.Read(14 * 24, 0.1).Concat(drawn.Read(21 * 24, 0.1, growth).Select(s => s with { At = s.At.AddDays(14) }));
        foreach (var sample in samples)
        {
            memory.Note(sample);
            if (memory.At(sample.At).SurelyGrown is { Percent: > 10 })
            {
                return (int)(sample.At - DrawnSegment.Start).TotalDays - 14;
            }
        }

        return null;
    }
}
