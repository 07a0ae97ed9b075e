using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.Thermometers;
using PoeWatch.Monitoring.Tests.Service;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Polling.Thermometers;

/// <summary>What a thermometer shows reaches the conditions, outlives one failed reading, and is unknown when too old.</summary>
public sealed class ThermometerLoopTests
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));

    [Fact]
    public async Task A_temperature_is_read_again_and_again_and_becomes_unknown_when_the_agent_stays_silent()
    {
        var plan = new ConditionPlan(-6, null, null, [new Thermometer("quay-air", "quay-west", 101, null, null)]);
        var design = new DesignModelBuilder().Switch("quay-west", pollPeriod: TimeSpan.FromSeconds(10)).Port("quay-west:1/7", 30).Conditions(plan).Build();
        await using var site = new MonitoredSite(new MemoryStore(), _time, design);
        var agent = new Agent(_time) { Celsius = -3 };
        using var loop = new ThermometerLoop(
            site.View, agent, site.Board, Options.Create(new PollingOptions { ThermometerPeriod = TimeSpan.FromSeconds(10) }), _time, NullLogger<ThermometerLoop>.Instance);
        await site.StartAsync();
        await loop.StartAsync(TestContext.Current.CancellationToken);

        await site.UntilAsync(() => Air()?.Celsius == -3, "the first reading");
        Assert.Equal("quay-air", site.View.Current.Assessment.Conditions!.Air.Source.Who);
        agent.Celsius = 4;
        await site.UntilAsync(() => Air()?.Celsius == 4, "the next reading");
        DateTimeOffset last = site.View.Current.Assessment.Conditions!.Air.Source.At!.Value;
        agent.Celsius = null;
        var asked = agent.Asked;
        await site.UntilAsync(() => agent.Asked > asked, "a reading that failed");
        await site.UntilAsync(() => Air() is null, "too old");
        Assert.InRange(_time.GetUtcNow() - last, TimeSpan.FromSeconds(30), TimeSpan.FromSeconds(60));
        Assert.Equal("silent", site.View.Current.Assessment.Conditions!.Thermometers[0].Problem);
        await loop.StopAsync(CancellationToken.None);

        Temperature? Air() => site.View.Current.Assessment.Conditions?.Air.Shown;
    }

    private sealed class Agent(TimeProvider time) : IThermometerReader
    {
        public double? Celsius { get; set; }

        public int Asked { get; private set; }

        public Task<ThermometerReading> ReadAsync(Thermometer thermometer, SnmpAgent agent, TimeSpan goodFor, CancellationToken cancellationToken)
        {
            Asked++;
            DateTimeOffset now = time.GetUtcNow();
            return Task.FromResult(new ThermometerReading(
                thermometer.Id, Celsius is { } c ? Temperature.FromCelsius(c) : null, now, now + goodFor, Celsius is null ? "silent" : ""));
        }
    }
}
