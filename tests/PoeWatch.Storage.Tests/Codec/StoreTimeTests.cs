using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Tests.Codec;

public sealed class StoreTimeTests
{
    [Theory]
    [InlineData(0, 0)]
    [InlineData(9, 0)]
    [InlineData(10, 1)]
    [InlineData(-1, -1)]
    [InlineData(-10, -1)]
    [InlineData(-11, -2)]
    public void Ticks_are_cut_towards_the_past_on_both_sides_of_1970(long ticks, long microseconds) =>
        Assert.Equal(microseconds, StoreTime.ToMicroseconds(DateTimeOffset.UnixEpoch.AddTicks(ticks)));

    [Fact]
    public void First_and_last_moment_of_the_calendar_can_be_stored()
    {
        foreach (var time in new[] { DateTimeOffset.MinValue, DateTimeOffset.UnixEpoch, DateTimeOffset.MaxValue })
        {
            Assert.Equal(time, StoreTime.FromMicroseconds(StoreTime.ToMicroseconds(time)).AddTicks(StoreTime.TicksWithin(time)));
        }
    }

    [Theory]
    [InlineData(long.MaxValue)]
    [InlineData(long.MinValue)]
    public void Rejects_a_number_outside_the_calendar(long microseconds) =>
        Assert.Throws<StoreException>(() => StoreTime.FromMicroseconds(microseconds));
}
