using PoeWatch.Domain.Assessment;
using static PoeWatch.Domain.Tests.Rollups.Polls;

namespace PoeWatch.Domain.Tests.Rollups;

/// <summary>How long a poll holds, and what clocks, restarts and repeated deliveries do to it.</summary>
public sealed class PollHolderTests
{
    [Theory]
    [InlineData(3.0, 3.0)] // three periods: holds until the next
    [InlineData(3.1, 1.0)] // a longer gap: one period
    [InlineData(0.2, 0.2)]
    public void A_poll_holds_until_the_next_at_most_three_periods_away(double nextMinute, double holdsMinutes) =>
        Assert.Equal(At(holdsMinutes), Held([Poll(0, Measured(1)), Poll(nextMinute, Measured(1))])[0].End);

    [Fact]
    public void The_last_poll_holds_for_one_period() => Assert.Equal(At(8), Held([Poll(7, Measured(1))])[0].End);

    [Fact]
    public void A_poll_that_was_not_answered_ends_what_was_known()
    {
        var quarter = Assert.Single(Rolled([(0, Measured(60)), (1, Measured(60)), (2, KnownPower.Nothing), (3, Measured(30))], 0, 15));
        Assert.Equal((Minute * 3, ((60 * 2) + 30) / 60.0), (quarter.Known.OfDraws, quarter.EnergyWattHours));
    }

    [Fact]
    public void A_clock_that_stepped_back_counts_no_time_twice()
    {
        // Polls at 0..9 min; the clock goes back 5 min and polls come at 5.5..9.5: the store gives them in order of time. 10.5 min known, not 15.
        (double, KnownPower)[] polls = [.. EveryMinute(0, 10, _ => Measured(10)), .. EveryMinute(5, 10, _ => Measured(40)).Select(p => (p.Minute + 0.5, p.Power))];
        var quarter = Assert.Single(Rolled(polls.OrderBy(p => p.Item1), 0, 15));
        Assert.Equal(Minute * 10.5, quarter.Known.OfDraws);

        // 10 W for 0..5 and five halves, 40 W for four halves and the last whole minute.
        Assert.Equal(((10 * 7.5) + (40 * 3)) / 60, quarter.EnergyWattHours, 9);
    }

    [Fact]
    public void A_clock_that_stepped_forward_leaves_a_gap()
    {
        var quarter = Assert.Single(Rolled([.. EveryMinute(0, 3, _ => Measured(10)), .. EveryMinute(11, 15, _ => Measured(10))], 0, 15));
        Assert.Equal((7 / 15.0, 10.0), (quarter.Coverage, quarter.Mean!.Value.Watts));
    }

    [Fact]
    public void A_poll_given_twice_and_one_out_of_order_change_nothing()
    {
        var plain = EveryMinute(0, 15, m => Measured(m));
        var odd = plain.SelectMany(p => new[] { p, p, (p.Minute - 5, Measured(99)) });
        Assert.Equal(Rolled(plain, 0, 15), Rolled(odd.Skip(0).Where((_, i) => i != 2), 0, 15));
    }

    [Fact]
    public void A_restart_in_mid_interval_leaves_what_was_read_before_it()
    {
        // The service was away from 6 to 11 min; both halves of the interval are read from the store again.
        var quarter = Assert.Single(Rolled([.. EveryMinute(0, 6, _ => Measured(20)), .. EveryMinute(11, 15, _ => Measured(80))], 0, 15));
        Assert.Equal((Minute * 10, ((20 * 6) + (80 * 4)) / 60.0), (quarter.Known.OfDraws, quarter.EnergyWattHours));
        Assert.Equal((20.0, 80.0), (quarter.Min!.Value.Watts, quarter.Max!.Value.Watts));
    }
}
