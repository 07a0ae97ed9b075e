using Microsoft.Extensions.Options;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.Ups;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling.Ups;

/// <summary>A UPS over a real loopback socket. Object numbers are those of RFC 1628.</summary>
public sealed class SnmpUpsReaderTests : IAsyncDisposable
{
    private readonly ScriptedAgent _agent = new("harbour");
    private readonly SnmpClient _client = new(TimeProvider.System);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Scalars_and_output_lines_are_read_together()
    {
        Put("2.1.0", 2);
        Put("2.2.0", 75);
        Put("2.3.0", 37);
        Put("2.4.0", 88);
        Put("4.1.0", 5);
        Put("4.4.1.4.1", 100);
        Put("4.4.1.4.2", 20);
        Put("4.4.1.5.1", 40);
        Put("4.4.1.5.2", 8);
        UpsReading reading = await ReadAsync(TimeSpan.FromSeconds(5));
        Assert.Equal("", reading.Problem);
        Assert.Equal(TimeSpan.FromMinutes(3), reading.GoodUntil - reading.At);
        UpsFigures told = reading.Told!;
        Assert.Equal(
            (UpsSource.Battery, UpsBatteryState.Normal, TimeSpan.FromSeconds(75), TimeSpan.FromMinutes(37)), (told.Source, told.Battery, told.OnBatteryFor, told.Remaining));
        Assert.Equal((88, 40, 120.0), (told.ChargePercent, told.LoadPercent, told.Output!.Value.Watts));
    }

    [Fact]
    public async Task An_agent_with_two_objects_only_tells_those()
    {
        Put("2.1.0", 2);
        Put("4.1.0", 3);
        UpsFigures told = (await ReadAsync(TimeSpan.FromSeconds(5))).Told!;
        Assert.Equal(new UpsFigures(UpsSource.Normal, UpsBatteryState.Normal, null, null, null, null, null), told);
    }

    [Fact]
    public async Task An_agent_of_something_else_is_told()
    {
        _agent.Table.Set("1.3.6.1.2.1.1.3.0", SnmpValue.TimeTicks(100));
        UpsReading reading = await ReadAsync(TimeSpan.FromSeconds(5));
        Assert.Null(reading.Told);
        Assert.Contains("UPS-MIB", reading.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_silent_agent_says_nothing()
    {
        _agent.Always = AgentFault.Silence;
        UpsReading reading = await ReadAsync(TimeSpan.FromMilliseconds(100));
        Assert.Null(reading.Told);
        Assert.Contains("silent", reading.Problem, StringComparison.Ordinal);
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private Task<UpsReading> ReadAsync(TimeSpan timeout) =>
        new SnmpUpsReader(_client, new Credentials(), Options.Create(new PollingOptions { Timeout = timeout, Retries = 0 }), TimeProvider.System)
            .ReadAsync("ups-1", new SnmpAgent("127.0.0.1", _agent.Endpoint.Port, "default", TimeSpan.FromMinutes(1), null), TimeSpan.FromMinutes(3), Stop);

    private void Put(string within, int value) => _agent.Table.Set("1.3.6.1.2.1.33.1." + within, SnmpValue.Integer32(value));

    private sealed class Credentials : ICredentialSource
    {
        public SnmpCredentials? Find(string name, out string problem)
        {
            problem = "";
            return new CommunityCredentials("harbour");
        }
    }
}
