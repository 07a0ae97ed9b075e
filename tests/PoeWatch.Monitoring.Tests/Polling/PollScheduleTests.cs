using PoeWatch.Monitoring.Polling;

namespace PoeWatch.Monitoring.Tests.Polling;

public class PollScheduleTests
{
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);
    private readonly PollSchedule _schedule = new(new Random(7), TimeSpan.FromMinutes(5));

    [Fact]
    public void Every_agent_is_due_once_within_its_first_period()
    {
        _schedule.Reconcile(Periods("a", "b", "c"), TimeSpan.Zero);

        Assert.False(_schedule.TryTake(TimeSpan.Zero - TimeSpan.FromTicks(1), out _));
        Assert.Equal(["a", "b", "c"], TakeAll(Minute).Order());
        Assert.False(_schedule.TryTake(Minute * 100, out _));
    }

    [Fact]
    public void First_polls_are_spread_over_the_period()
    {
        _schedule.Reconcile(Enumerable.Range(0, 1000).ToDictionary(i => $"s{i:D4}", _ => Minute), TimeSpan.Zero);

        var early = TakeAll(Minute / 2).Count;

        // Binomial(1000, 1/2): five standard deviations are 79.
        Assert.InRange(early, 500 - 79, 500 + 79);
    }

    [Fact]
    public void A_poll_in_flight_is_never_started_again_before_it_completed()
    {
        _schedule.Reconcile(Periods("a"), TimeSpan.Zero);
        Assert.True(_schedule.TryTake(Minute, out _));

        Assert.False(_schedule.TryTake(Minute * 10, out _));
        Assert.Null(_schedule.UntilNext(Minute * 10));
        _schedule.Complete("a", answered: true, Minute * 10);

        Assert.NotNull(_schedule.UntilNext(Minute * 10));
    }

    [Fact]
    public void A_poll_that_took_longer_than_its_period_keeps_its_phase_and_counts_the_missed_slots()
    {
        _schedule.Reconcile(Periods("a"), TimeSpan.Zero);
        TimeSpan phase = _schedule.UntilNext(TimeSpan.Zero)!.Value;
        _schedule.TryTake(phase, out _);

        // Due again at phase + 1, + 2 and + 3 minutes while the poll still runs.
        _schedule.Complete("a", answered: true, phase + (Minute * 3.5));

        Assert.Equal(3, _schedule.MissedSlots);
        Assert.Equal(Minute / 2, _schedule.UntilNext(phase + (Minute * 3.5)));
    }

    [Fact]
    public void A_silent_agent_is_asked_more_rarely_and_at_its_own_pace_again_once_it_answers()
    {
        _schedule.Reconcile(Periods("a"), TimeSpan.Zero);
        TimeSpan at = _schedule.UntilNext(TimeSpan.Zero)!.Value;
        var gaps = new List<TimeSpan>();
        foreach (var answered in new[] { false, false, false, false, false, false, true, true })
        {
            Assert.True(_schedule.TryTake(at, out _));
            _schedule.Complete("a", answered, at);
            TimeSpan next = at + _schedule.UntilNext(at)!.Value;
            gaps.Add(next - at);
            at = next;
        }

        // Common practice, no source: two chances at the usual pace, then doubling to the bound of five minutes.
        Assert.Equal([1, 1, 2, 4, 5, 5, 1, 1], gaps.Select(g => (int)g.TotalMinutes));
    }

    [Fact]
    public void Agents_that_stay_keep_their_phase_over_a_new_design()
    {
        _schedule.Reconcile(Periods("a", "b"), TimeSpan.Zero);
        TimeSpan first = _schedule.UntilNext(TimeSpan.Zero)!.Value;
        string firstId = TakeAll(first).Single();
        _schedule.Complete(firstId, answered: true, first);

        _schedule.Reconcile(Periods("a", "b", "c"), first);
        _schedule.Reconcile(Periods("a", "b"), first);

        Assert.Equal([firstId], TakeAll(first + Minute).Where(id => id == firstId));
        Assert.Equal(2, _schedule.Count);
    }

    [Fact]
    public void An_agent_that_left_the_design_is_not_asked_again()
    {
        _schedule.Reconcile(Periods("a", "b"), TimeSpan.Zero);
        Assert.Equal(2, TakeAll(Minute).Count);

        _schedule.Reconcile(Periods("b"), Minute);
        _schedule.Complete("a", answered: true, Minute);
        _schedule.Complete("b", answered: true, Minute);

        Assert.Equal(["b"], TakeAll(Minute * 3));
    }

    [Fact]
    public void A_new_period_while_a_poll_is_in_flight_does_not_overlap_it()
    {
        _schedule.Reconcile(Periods("a"), TimeSpan.Zero);
        Assert.True(_schedule.TryTake(Minute, out _));

        _schedule.Reconcile(new Dictionary<string, TimeSpan> { ["a"] = TimeSpan.FromSeconds(10) }, Minute);

        Assert.False(_schedule.TryTake(Minute * 2, out _));
        _schedule.Complete("a", answered: true, Minute * 2);
        Assert.True(_schedule.UntilNext(Minute * 2) <= TimeSpan.FromSeconds(10));
    }

    [Fact]
    public void An_agent_that_leaves_the_design_and_comes_back_during_its_poll_is_not_asked_twice_at_once()
    {
        _schedule.Reconcile(Periods("a"), TimeSpan.Zero);
        Assert.True(_schedule.TryTake(Minute, out _));

        _schedule.Reconcile(Periods(), Minute);
        _schedule.Reconcile(Periods("a"), Minute);

        Assert.False(_schedule.TryTake(Minute * 3, out _));
        _schedule.Complete("a", answered: true, Minute * 3);
        Assert.Equal(["a"], TakeAll(Minute * 5));
    }

    private static Dictionary<string, TimeSpan> Periods(params string[] ids) => ids.ToDictionary(id => id, _ => Minute);

    private List<string> TakeAll(TimeSpan now)
    {
        var taken = new List<string>();
        while (_schedule.TryTake(now, out string id))
        {
            taken.Add(id);
        }

        return taken;
    }
}
