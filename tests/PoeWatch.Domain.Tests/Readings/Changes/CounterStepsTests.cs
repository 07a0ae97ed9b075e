using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Domain.Tests.Readings.Changes;

public sealed class CounterStepsTests
{
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    // RFC 2578 section 7.1.6: a Counter32 wraps at 2^32 - 1; 4294967290 to 5 are 11.
    [Theory]
    [InlineData(4_294_967_290, 5, 11)]
    [InlineData(uint.MaxValue, 0, 1)]
    [InlineData(0, uint.MaxValue, uint.MaxValue)]
    [InlineData(7, 7, 0)]
    [InlineData(100, 250, 150)]
    public void A_counter_that_went_round_once_is_counted_through(uint before, uint now, uint steps) =>
        Assert.Equal(steps, CounterSteps.Between(before, now));

    [Fact]
    public void A_counter_that_was_reset_would_have_had_to_count_too_fast()
    {
        Assert.Null(CounterSteps.Between(1000, 3, Minute, perSecondMax: 100));
        Assert.Equal(11u, CounterSteps.Between(4_294_967_290, 5, Minute, perSecondMax: 100));
    }

    [Fact]
    public void Where_it_can_go_round_meanwhile_or_no_time_passed_nothing_is_said()
    {
        Assert.Null(CounterSteps.Between(1, 2, TimeSpan.FromDays(500), perSecondMax: 100));
        Assert.Null(CounterSteps.Between(1, 2, TimeSpan.Zero, perSecondMax: 100));
    }

    [Fact]
    public void Events_of_a_port_are_the_steps_of_each_counter_and_missing_or_reset_ones_are_nothing_new()
    {
        var port = new PsePortRef("quay", 1, 7);
        var events = PortEvents.Between(port, new PortCounts(4_294_967_290, 5, 10, null, 900), new PortCounts(5, 5, 12, 4, 0), Minute);

        Assert.Equal(new PortEvents(port, Minute, 11, 0, 2, 0, 0), events);
        Assert.False(events.IsQuiet);
    }
}
