using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Polling.DrawSources;

namespace PoeWatch.Monitoring.Tests.Polling.DrawSources;

/// <summary>Class ceilings at the PSE: IEEE 802.3 clause 33, class 2 7.0 W, class 3 15.4 W, class 4 30 W.</summary>
public class AllocationWatchTests
{
    private readonly AllocationWatch _watch = new();

    [Fact]
    public void Three_ports_at_exactly_their_class_ceilings_are_allocations_at_once()
    {
        _watch.Observe([Shown(1, 15.4, 15.4), Shown(2, 7.0, 7.0), Shown(3, 30, 30)]);

        Assert.True(_watch.IsAllocation);
    }

    [Fact]
    public void One_port_at_its_ceiling_is_one_after_many_polls()
    {
        Repeat(AllocationWatch.PollsMin - 1, Shown(1, 15.4, 15.4));
        Assert.False(_watch.IsAllocation);

        Repeat(1, Shown(1, 15.4, 15.4));
        Assert.True(_watch.IsAllocation);
    }

    [Fact]
    public void Whole_watts_at_a_ceiling_are_no_proof_at_once()
    {
        _watch.Observe([Shown(1, 7, 7.0, step: 1), Shown(2, 7, 7.0, step: 1), Shown(3, 7, 7.0, step: 1)]);

        Assert.False(_watch.IsAllocation);
    }

    [Fact]
    public void One_port_that_differs_ends_it()
    {
        Repeat(AllocationWatch.PollsMin, Shown(1, 15.4, 15.4));

        _watch.Observe([Shown(1, 15.4, 15.4), Shown(2, 6.9, 7.0)]);

        Assert.False(_watch.IsAllocation);
    }

    [Fact]
    public void A_draw_that_equals_its_allocation_poll_after_poll_is_one()
    {
        Repeat(AllocationWatch.PollsMin, Shown(1, 12.3, 15.4, allocated: 12.3));

        Assert.True(_watch.IsAllocation);
    }

    [Fact]
    public void An_allocation_that_follows_the_draw_is_not_taken_for_its_cause()
    {
        for (var poll = 0; poll < 3 * AllocationWatch.PollsMin; poll++)
        {
            var watts = 10 + (poll % 7 / 10.0);
            _watch.Observe([Shown(1, watts, 15.4, allocated: watts)]);
        }

        Assert.False(_watch.IsAllocation);
    }

    [Fact]
    public void Polls_without_a_delivering_port_neither_count_nor_forget()
    {
        Repeat(AllocationWatch.PollsMin, Shown(1, 15.4, 15.4));

        _watch.Observe([]);

        Assert.True(_watch.IsAllocation);
    }

    private void Repeat(int polls, ShownDraw port)
    {
        for (var i = 0; i < polls; i++)
        {
            _watch.Observe([port]);
        }
    }

    private static ShownDraw Shown(int slot, double watts, double ceiling, double? allocated = null, double step = 0.001) => new(
        slot, Power.FromWatts(watts), Power.FromWatts(step), [Power.FromWatts(ceiling)], allocated is { } set ? Power.FromWatts(set) : null);
}
