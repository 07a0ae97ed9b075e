using CsCheck;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Tests.Evidence;

public sealed class GapTrackerTests
{
    private static readonly DateTimeOffset Start = new(2026, 11, 24, 20, 0, 0, TimeSpan.Zero);
    private static readonly TimeSpan Period = TimeSpan.FromSeconds(60);

    [Fact]
    public void A_silent_poll_starts_a_gap_that_the_next_answer_ends_with_its_reason()
    {
        var tracker = new GapTracker(Start, Period);
        Assert.Null(tracker.Add(Known(0), ""));
        Assert.Null(tracker.Add(Unknown(60), "silent"));
        Assert.Null(tracker.Add(Unknown(120), "silent"));
        Assert.Equal(new Gap(Start.AddSeconds(60), Start.AddSeconds(180), "silent"), tracker.Add(Known(180), ""));
        Assert.Equal(new Gap(Start.AddSeconds(240), Start.AddSeconds(600), GapTracker.NoReading), tracker.End(Start.AddSeconds(600)));
    }

    [Fact]
    public void Nothing_at_all_is_one_gap()
    {
        Assert.Equal(new Gap(Start, Start.AddHours(1), GapTracker.NoReading), new GapTracker(Start, Period).End(Start.AddHours(1)));
    }

    [Fact]
    public void An_answer_that_may_still_come_is_no_gap_until_it_is_overdue()
    {
        var tracker = new GapTracker(Start, Period);
        tracker.Add(Known(0), "");
        Assert.Null(tracker.End(Start.AddSeconds(180), isNow: true));
        var overdue = new GapTracker(Start, Period);
        overdue.Add(Known(0), "");
        Assert.Equal(new Gap(Start.AddSeconds(60), Start.AddSeconds(181), GapTracker.NoReading), overdue.End(Start.AddSeconds(181), isNow: true));
    }

    /// <summary>Gaps and spans together fill the period, without overlap: the two ways to see one rule agree.</summary>
    [Fact]
    public void Gaps_are_exactly_what_spans_leave_open()
    {
        Gen.Select(Gen.Int[1, 400], Gen.Bool).Array[0, 40].Sample(steps =>
        {
            var (at, samples) = (Start, new List<DrawSample>());
            foreach (var (seconds, known) in steps)
            {
                at = at.AddSeconds(seconds);
                samples.Add(known ? new DrawSample(at, new KnownPower(Power.FromWatts(10), Provenance.Measured)) : new DrawSample(at, KnownPower.Nothing));
            }

            var end = at.AddSeconds(30);
            var tracker = new GapTracker(Start, Period);
            var found = samples.ConvertAll(s => tracker.Add(s, "silent"));
            found.Add(tracker.End(end));
            var gaps = found.OfType<Gap>();
            var pieces = DrawSpans.From(samples, Period).Select(s => (s.Start, End: s.End < end ? s.End : end))
                .Concat(gaps.Select(g => (g.Start, g.End))).OrderBy(p => p.Start).ToList();
            Assert.Equal(Start, pieces[0].Start);
            Assert.Equal(end, pieces[^1].End);
            Assert.All(pieces.Zip(pieces.Skip(1)), pair => Assert.Equal(pair.First.End, pair.Second.Start));
        });
    }

    private static DrawSample Known(int second) => new(Start.AddSeconds(second), new KnownPower(Power.FromWatts(10), Provenance.Measured));

    private static DrawSample Unknown(int second) => new(Start.AddSeconds(second), KnownPower.Nothing);
}
