using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling.Ups;
using PoeWatch.Monitoring.Tests.Service;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Polling.Ups;

/// <summary>What a UPS says reaches view and alarms, outlives one question without an answer, and is unknown when too old.</summary>
public sealed class UpsLoopTests
{
    private static readonly UpsFigures s_onMains = new(UpsSource.Normal, UpsBatteryState.Normal, TimeSpan.Zero, TimeSpan.FromHours(3), 100, 17, Power.FromWatts(120));
    private static readonly UpsFigures s_onBattery = s_onMains with { Source = UpsSource.Battery, OnBatteryFor = TimeSpan.FromSeconds(20), Remaining = TimeSpan.FromMinutes(37) };
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));

    [Fact]
    public async Task A_power_cut_becomes_an_alarm_that_silence_does_not_clear()
    {
        var ups = new PoeWatch.Domain.Design.Ups("ups-1", "Cabinet", ["quay-west"], 1000, Ratio.FromFraction(0.9), Ratio.FromFraction(1), Power.Zero, null)
        {
            Agent = new SnmpAgent("192.0.2.14", 161, "default", TimeSpan.FromSeconds(10), null),
        };
        DesignModel design = new DesignModelBuilder().Switch("quay-west", pollPeriod: TimeSpan.FromSeconds(10)).Port("quay-west:1/7", 30).Ups(ups).Build();
        await using var site = new MonitoredSite(new MemoryStore(), _time, design);
        var agent = new Agent(_time) { Tells = s_onMains };
        using var loop = new UpsLoop(site.View, agent, site.UpsBoard, _time, NullLogger<UpsLoop>.Instance);
        await site.StartAsync();
        await loop.StartAsync(TestContext.Current.CancellationToken);

        await site.UntilAsync(() => Told()?.IsOnBattery == false, "the first reading");
        agent.Tells = s_onBattery;
        await site.UntilAsync(() => IsActive() == true, "the alarm");
        Assert.Contains("37 min are left", Alarm()!.Text, StringComparison.Ordinal);

        agent.Tells = null;
        DateTimeOffset last = site.View.Current.Assessment.UpsUnits[0].Reading!.At;
        await site.UntilAsync(() => Told() is null, "too old");
        Assert.InRange(_time.GetUtcNow() - last, TimeSpan.FromSeconds(30), TimeSpan.FromSeconds(60));
        Assert.Equal("silent", site.View.Current.Assessment.UpsUnits[0].Reading!.Problem);
        var asked = agent.Asked;
        await site.UntilAsync(() => agent.Asked > asked + 12, "longer than the off-delay");
        Assert.True(IsActive());

        agent.Tells = s_onMains;
        await site.UntilAsync(() => IsActive() == false, "the mains");
        await loop.StopAsync(CancellationToken.None);

        UpsFigures? Told() => site.View.Current.Assessment.UpsUnits[0].Reading?.ToldAt(site.View.Current.Assessment.At);
        Alarm? Alarm() => site.View.Current.Alarms.SingleOrDefault(a => a.Key == new AlarmKey("ups/ups-1", AlarmTypes.UpsOnBattery));
        bool? IsActive() => Alarm() is { } alarm ? !alarm.IsCleared : null;
    }

    private sealed class Agent(TimeProvider time) : IUpsReader
    {
        public UpsFigures? Tells { get; set; }

        public int Asked { get; private set; }

        public Task<UpsReading> ReadAsync(string upsId, SnmpAgent agent, TimeSpan goodFor, CancellationToken cancellationToken)
        {
            Asked++;
            DateTimeOffset now = time.GetUtcNow();
            return Task.FromResult(new UpsReading(upsId, Tells, now, now + goodFor, Tells is null ? "silent" : ""));
        }
    }
}
