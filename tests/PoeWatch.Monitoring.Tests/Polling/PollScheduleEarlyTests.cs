using PoeWatch.Monitoring.Polling;

namespace PoeWatch.Monitoring.Tests.Polling;

/// <summary>Polls before their slot, and agents that are cut off.</summary>
public sealed class PollScheduleEarlyTests
{
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan Gap = TimeSpan.FromSeconds(2);
    private readonly PollSchedule _schedule = new(new Random(7), TimeSpan.FromMinutes(5));
    private readonly TimeSpan _slot;

    public PollScheduleEarlyTests()
    {
        _schedule.Reconcile(new Dictionary<string, TimeSpan> { ["a"] = Minute }, TimeSpan.Zero);
        TimeSpan first = _schedule.UntilNext(TimeSpan.Zero)!.Value;
        Take(first);
        _schedule.Complete("a", answered: true, first);
        _slot = first + Minute;
    }

    [Fact]
    public void A_hastened_agent_is_due_at_once_and_keeps_its_slots()
    {
        TimeSpan now = _slot - (Minute / 2);
        Assert.True(_schedule.Hasten("a", Gap, now));

        Take(now);
        _schedule.Complete("a", answered: true, now);

        Assert.Equal(Minute / 2, _schedule.UntilNext(now));
        Assert.Equal(0, _schedule.MissedSlots);
    }

    [Fact]
    public void Requests_within_the_gap_become_one_poll_after_it()
    {
        TimeSpan now = _slot - (Minute / 2);
        _schedule.Hasten("a", Gap, now);
        Take(now);
        _schedule.Complete("a", answered: true, now);

        var asked = Enumerable.Range(1, 100).Count(i => _schedule.Hasten("a", Gap, now + TimeSpan.FromMilliseconds(10 * i)));

        Assert.Equal(1, asked);
        Assert.Equal(Gap, _schedule.UntilNext(now));
        Take(now + Gap);
        _schedule.Complete("a", answered: true, now + Gap);
        Assert.Equal((Minute / 2) - Gap, _schedule.UntilNext(now + Gap));
    }

    [Fact]
    public void A_request_while_a_poll_runs_asks_for_another_one_after_it()
    {
        TimeSpan now = _slot;
        Take(now);
        Assert.True(_schedule.Hasten("a", Gap, now + TimeSpan.FromSeconds(1)));
        Assert.False(_schedule.TryTake(now + (Minute / 2), out _));

        _schedule.Complete("a", answered: true, now + TimeSpan.FromSeconds(1));

        Assert.Equal(TimeSpan.FromSeconds(1), _schedule.UntilNext(now + TimeSpan.FromSeconds(1)));
    }

    [Fact]
    public void Nothing_is_asked_for_where_the_slot_comes_first_or_the_agent_is_unknown()
    {
        Assert.False(_schedule.Hasten("a", Gap, _slot));
        Assert.False(_schedule.Hasten("b", Gap, _slot));
        Assert.Equal(_slot - Minute + Minute, _schedule.UntilNext(TimeSpan.Zero));
    }

    [Fact]
    public void A_silent_agent_that_is_hastened_and_answers_is_back_at_its_own_pace()
    {
        TimeSpan now = _slot;
        for (var i = 0; i < 6; i++)
        {
            Take(now);
            _schedule.Complete("a", answered: false, now);
            now += _schedule.UntilNext(now)!.Value;
        }

        now -= TimeSpan.FromSeconds(200);
        Assert.True(_schedule.Hasten("a", Gap, now));
        Take(now);
        _schedule.Complete("a", answered: true, now);

        // The slot was 200 s away: three minutes earlier is the same phase.
        Assert.Equal(TimeSpan.FromSeconds(20), _schedule.UntilNext(now));
    }

    [Fact]
    public void A_hastened_poll_without_an_answer_leaves_the_slot_and_the_count_of_silences()
    {
        TimeSpan now = _slot - (Minute / 2);
        for (var i = 0; i < 5; i++)
        {
            _schedule.Hasten("a", TimeSpan.Zero, now);
            Take(now);
            _schedule.Complete("a", answered: false, now);
        }

        Assert.Equal(Minute / 2, _schedule.UntilNext(now));
        Take(_slot);
        _schedule.Complete("a", answered: false, _slot);
        Assert.Equal(Minute, _schedule.UntilNext(_slot));
    }

    [Fact]
    public void An_agent_that_is_cut_off_is_asked_as_rarely_as_a_silent_one_ever_is()
    {
        Take(_slot);
        Assert.Equal(Minute, _schedule.StepIfSilent("a", isCutOff: false));
        Assert.Equal(Minute * 5, _schedule.StepIfSilent("a", isCutOff: true));

        _schedule.Complete("a", answered: false, _slot, isCutOff: true);

        Assert.Equal(Minute * 5, _schedule.UntilNext(_slot));
    }

    [Fact]
    public void Under_overload_the_one_that_waits_longest_comes_first_and_hastened_ones_push_nobody_aside()
    {
        var schedule = new PollSchedule(new Random(3), TimeSpan.FromMinutes(5));
        schedule.Reconcile(Enumerable.Range(0, 20).ToDictionary(i => $"s{i:D2}", _ => Minute), TimeSpan.Zero);
        var turns = new Dictionary<string, int>();
        var now = TimeSpan.Zero;

        // One poll at a time of 6 s each: ten a minute, where twenty are due. s00 is asked for all the time.
        for (var i = 0; i < 400; i++)
        {
            now += TimeSpan.FromSeconds(6);
            schedule.Hasten("s00", Gap, now);
            Assert.True(schedule.TryTake(now, out var id) || i == 0);
            turns[id] = turns.GetValueOrDefault(id) + 1;
            schedule.Complete(id, answered: true, now + TimeSpan.FromSeconds(6));
        }

        Assert.True(schedule.MissedSlots > 100);
        Assert.InRange(turns.Where(t => t.Key is not ("s00" or "")).Min(t => t.Value), 10, 25);
        Assert.True(turns.Where(t => t.Key is not ("s00" or "")).Max(t => t.Value) <= 25);
        Assert.NotNull(schedule.LastMissedAt);
    }

    private void Take(TimeSpan now)
    {
        Assert.True(_schedule.TryTake(now, out var id));
        Assert.Equal("a", id);
    }
}
