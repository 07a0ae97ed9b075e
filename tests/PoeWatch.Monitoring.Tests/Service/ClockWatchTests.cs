using Microsoft.Extensions.Logging.Abstractions;
using PoeWatch.Monitoring.Service;

namespace PoeWatch.Monitoring.Tests.Service;

public class ClockWatchTests
{
    private readonly TwoClocks _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));

    [Fact]
    public void Clocks_that_run_together_are_no_step()
    {
        var watch = new ClockWatch(_time, NullLogger<ClockWatch>.Instance);
        _time.Pass(TimeSpan.FromHours(3));

        Assert.Null(watch.Check());
        Assert.Empty(watch.LastStep);
    }

    [Theory]
    [InlineData(3600)]
    [InlineData(-3600)]
    [InlineData(2)]
    public void A_stepped_clock_is_noticed_once_with_its_size(int seconds)
    {
        var watch = new ClockWatch(_time, NullLogger<ClockWatch>.Instance);
        _time.Pass(TimeSpan.FromSeconds(1));
        _time.Step(TimeSpan.FromSeconds(seconds));

        Assert.Equal(TimeSpan.FromSeconds(seconds), watch.Check());
        Assert.Null(watch.Check());
        Assert.Contains("stepped by", watch.LastStep, StringComparison.Ordinal);
    }

    [Fact]
    public void Slewing_is_no_step()
    {
        var watch = new ClockWatch(_time, NullLogger<ClockWatch>.Instance);
        _time.Step(TimeSpan.FromMilliseconds(500));

        Assert.Null(watch.Check());
    }
}
