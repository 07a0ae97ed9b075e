using Microsoft.Extensions.Time.Testing;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Tests.Security;

/// <summary>The time window of RFC 3414 section 3.2, step 7b, and what may move the clock.</summary>
public sealed class EngineClockTests
{
    private readonly FakeTimeProvider _time = new();

    private EngineClock Authenticated(int boots, int engineTime)
    {
        EngineClock clock = new(_time, boots, engineTime);
        Assert.True(clock.Observe(boots, engineTime));
        return clock;
    }

    [Fact]
    public void Clock_goes_on_by_our_own_time()
    {
        EngineClock clock = Authenticated(3, 1000);
        _time.Advance(TimeSpan.FromSeconds(500));

        Assert.Equal((3, 1500), clock.Now);
    }

    [Fact]
    public void Message_may_lag_by_150_seconds_and_no_more()
    {
        EngineClock clock = Authenticated(3, 1000);
        _time.Advance(TimeSpan.FromSeconds(500));

        Assert.True(clock.Observe(3, 1500));
        Assert.True(clock.Observe(3, 1350));
        Assert.False(clock.Observe(3, 1349));
        Assert.Equal((3, 1500), clock.Now);
    }

    /// <summary>
    /// RFC 3414 compares with the latest time received, not with our estimate: an engine whose clock runs slow is followed.
    /// </summary>
    [Fact]
    public void Newer_message_sets_the_clock_even_below_our_estimate()
    {
        EngineClock clock = Authenticated(3, 1000);
        _time.Advance(TimeSpan.FromSeconds(500));

        Assert.True(clock.Observe(3, 1001));
        Assert.Equal((3, 1001), clock.Now);
    }

    [Fact]
    public void Later_time_moves_the_clock_forward_and_earlier_never_back()
    {
        EngineClock clock = Authenticated(3, 1000);

        Assert.True(clock.Observe(3, 5000));
        Assert.True(clock.Observe(3, 4900));
        Assert.Equal((3, 5000), clock.Now);
        Assert.False(clock.Observe(3, 1000));
        Assert.Equal((3, 5000), clock.Now);
    }

    [Fact]
    public void Restart_of_the_engine_is_followed_and_an_old_life_refused()
    {
        EngineClock clock = Authenticated(3, 1000);

        Assert.True(clock.Observe(4, 2));
        Assert.Equal((4, 2), clock.Now);
        Assert.False(clock.Observe(3, 1000));
    }

    [Fact]
    public void Guess_from_discovery_is_overruled_even_downwards()
    {
        EngineClock clock = new(_time, boots: 900, engineTime: 900_000);

        Assert.True(clock.Observe(3, 1000));
        Assert.Equal((3, 1000), clock.Now);
    }

    [Fact]
    public void Engine_at_its_last_boot_is_never_in_the_window() // RFC 3414 section 2.2.2
    {
        EngineClock clock = new(_time, int.MaxValue, 10);

        Assert.False(clock.Observe(int.MaxValue, 10));
    }

    [Fact]
    public void Clock_stops_at_its_end_instead_of_overflowing()
    {
        EngineClock clock = Authenticated(3, int.MaxValue - 5);
        _time.Advance(TimeSpan.FromDays(1));

        Assert.Equal((3, int.MaxValue), clock.Now);
    }
}
