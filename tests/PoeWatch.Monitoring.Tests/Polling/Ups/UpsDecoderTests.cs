using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.Ups;

namespace PoeWatch.Monitoring.Tests.Polling.Ups;

/// <summary>Numbers and ranges are those of RFC 1628 (upsBattery and upsOutput groups).</summary>
public sealed class UpsDecoderTests
{
    private static readonly UpsAnswer s_onMains = new(Battery: 2, SecondsOnBattery: 0, MinutesRemaining: 190, Charge: 100, Source: 3, OutputWatts: [120], OutputLoads: [17]);

    [Theory]
    [InlineData(1, UpsSource.Other, false)]
    [InlineData(2, UpsSource.None, false)]
    [InlineData(3, UpsSource.Normal, false)]
    [InlineData(4, UpsSource.Bypass, false)]
    [InlineData(5, UpsSource.Battery, true)]
    [InlineData(6, UpsSource.Booster, false)]
    [InlineData(7, UpsSource.Reducer, false)]
    public void Source_tells_whether_it_is_on_battery(int sent, UpsSource source, bool isOnBattery)
    {
        UpsFigures told = Decode(s_onMains with { Source = sent });
        Assert.Equal((source, isOnBattery), (told.Source, told.IsOnBattery));
    }

    [Fact]
    public void Without_a_source_the_time_on_battery_tells_and_without_both_nothing_does()
    {
        Assert.True(Decode(s_onMains with { Source = null, SecondsOnBattery = 12 }).IsOnBattery);
        Assert.False(Decode(s_onMains with { Source = null }).IsOnBattery);
        Assert.Null(Decode(s_onMains with { Source = null, SecondsOnBattery = null }).IsOnBattery);
    }

    [Fact]
    public void Seconds_minutes_percent_and_watts_keep_their_units()
    {
        UpsFigures told = Decode(new UpsAnswer(3, 360, 37, 62, 5, [90, 93], [30, 41]));
        Assert.Equal(
            (UpsBatteryState.Low, TimeSpan.FromMinutes(6), TimeSpan.FromMinutes(37), 62, 41, 183.0),
            (told.Battery, told.OnBatteryFor, told.Remaining, told.ChargePercent, told.LoadPercent, told.Output!.Value.Watts));
    }

    [Fact]
    public void What_lies_outside_of_the_ranges_counts_as_not_said()
    {
        UpsFigures told = Decode(new UpsAnswer(9, -1, -1, 255, 0, [-5], [201]));
        Assert.Equal(new UpsFigures(UpsSource.Unknown, UpsBatteryState.Unknown, null, null, null, null, null), told);

        // 65535 min are 45 days: a number for "not known".
        Assert.Null(Decode(s_onMains with { MinutesRemaining = 65_535 }).Remaining);
        Assert.Equal(TimeSpan.Zero, Decode(s_onMains with { MinutesRemaining = 0 }).Remaining);
        Assert.Equal(UpsBatteryState.Unknown, Decode(s_onMains with { Battery = 1 }).Battery);
        Assert.Null(Decode(s_onMains with { OutputWatts = [120, -1] }).Output);
    }

    [Fact]
    public void An_agent_without_the_MIB_is_told()
    {
        Assert.Null(UpsDecoder.Decode(new UpsAnswer(null, null, null, null, null, [], []), out var problem));
        Assert.Contains("no UPS-MIB", problem, StringComparison.Ordinal);
    }

    private static UpsFigures Decode(UpsAnswer answer)
    {
        UpsFigures? told = UpsDecoder.Decode(answer, out var problem);
        Assert.Empty(problem);
        return told!;
    }
}
