using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Rollups;

/// <summary>Readings stay as long as a day has to be made of them.</summary>
public sealed class RollupGuardTests
{
    private static readonly DateTimeOffset s_days = new(2026, 11, 20, 23, 0, 0, TimeSpan.Zero);

    private readonly MemoryStore _store = new();

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Before_anything_is_rolled_up_every_reading_stays() =>
        Assert.Equal(DateTimeOffset.UnixEpoch, await new RollupGuard(_store).EarliestNeededAsync(Token));

    [Fact]
    public async Task Hours_that_are_rolled_up_free_nothing_before_their_day_is()
    {
        await _store.SaveRollupFrontierAsync(new RollupFrontier(s_days.AddDays(2), null), Token);
        Assert.Equal(DateTimeOffset.UnixEpoch, await new RollupGuard(_store).EarliestNeededAsync(Token));
    }

    [Fact]
    public async Task A_day_that_is_made_frees_its_readings_but_the_last_ones_that_hold_into_the_next()
    {
        await _store.SaveRollupFrontierAsync(new RollupFrontier(s_days.AddHours(5), s_days), Token);
        Assert.Equal(s_days.AddHours(-1), await new RollupGuard(_store).EarliestNeededAsync(Token));
    }

    [Theory]
    [InlineData(-100)]
    [InlineData(-25)]
    [InlineData(-1)]
    [InlineData(3)]
    public async Task A_late_hour_keeps_the_whole_day_that_it_may_lie_in(int hours)
    {
        await _store.SaveRollupFrontierAsync(new RollupFrontier(s_days.AddHours(5), s_days), Token);
        await _store.NoteLateHoursAsync([new LateHour("quay-west", s_days.AddHours(9)), new LateHour("quay-east", s_days.AddHours(hours))], Token);
        var earliest = await new RollupGuard(_store).EarliestNeededAsync(Token);

        // The longest day has 25 hours, so a day that holds the hour begins at most 24 hours before it; a day that is not made yet needs no more than itself.
        Assert.True(earliest <= s_days.AddHours(hours - 24), $"{earliest:O}");
        Assert.True(earliest <= s_days.AddHours(-1), $"{earliest:O}");

        await _store.ForgetLateHoursAsync([new LateHour("quay-east", s_days.AddHours(hours)), new LateHour("quay-west", s_days.AddHours(9))], Token);
        Assert.Equal(s_days.AddHours(-1), await new RollupGuard(_store).EarliestNeededAsync(Token));
    }
}
