using Microsoft.Extensions.Options;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.Thermometers;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling.Thermometers;

/// <summary>A temperature over a real loopback socket. Object numbers are those of RFC 6933 and RFC 3433.</summary>
public sealed class SnmpThermometerReaderTests : IAsyncDisposable
{
    private readonly ScriptedAgent _agent = new("harbour");
    private readonly SnmpClient _client = new(TimeProvider.System);
    private readonly SnmpThermometerReader _reader;

    public SnmpThermometerReaderTests()
    {
        _reader = new SnmpThermometerReader(
            _client, new Credentials(), Options.Create(new PollingOptions { Timeout = TimeSpan.FromSeconds(5) }), TimeProvider.System);
        PutRow(1001, "Outdoor air", -35);
        PutRow(1002, "Cabinet air", 215);
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_temperature_is_found_by_its_index()
    {
        ThermometerReading reading = await ReadAsync(index: 1002);
        Assert.Equal((21.5, ""), (reading.Shown!.Value.Celsius, reading.Problem));
        Assert.Equal(TimeSpan.FromMinutes(6), reading.GoodUntil - reading.At);
    }

    [Fact]
    public async Task A_temperature_is_found_by_its_name()
    {
        Assert.Equal(-3.5, (await ReadAsync(name: "Outdoor air")).Shown!.Value.Celsius);
        Assert.Equal(-3.5, (await ReadAsync(name: "Outdoor air")).Shown!.Value.Celsius);
    }

    [Fact]
    public async Task A_row_that_moves_when_the_agent_restarts_is_found_again_by_its_name()
    {
        Assert.Equal(-3.5, (await ReadAsync(name: "Outdoor air")).Shown!.Value.Celsius);
        PutRow(1001, "Cabinet air", 215);
        PutRow(1002, "Outdoor air", -40);
        Assert.Equal(-4, (await ReadAsync(name: "Outdoor air")).Shown!.Value.Celsius);
    }

    [Fact]
    public async Task A_name_that_no_row_or_two_rows_have_is_told()
    {
        Assert.Contains("no row named 'Inside'", (await ReadAsync(name: "Inside")).Problem, StringComparison.Ordinal);
        PutRow(1003, "Outdoor air", 10);
        ThermometerReading twice = await ReadAsync(name: "Outdoor air");
        Assert.Null(twice.Shown);
        Assert.Contains("2 rows", twice.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_row_that_is_not_there_is_told()
    {
        ThermometerReading reading = await ReadAsync(index: 7);
        Assert.Null(reading.Shown);
        Assert.Contains("no such row", reading.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_silent_agent_is_no_temperature()
    {
        _agent.Always = AgentFault.Silence;
        var impatient = new SnmpThermometerReader(
            _client, new Credentials(), Options.Create(new PollingOptions { Timeout = TimeSpan.FromMilliseconds(100), Retries = 0 }), TimeProvider.System);
        ThermometerReading reading = await impatient.ReadAsync(Named(1001, null), Agent(), TimeSpan.FromMinutes(6), Stop);
        Assert.Null(reading.Shown);
        Assert.Contains("silent", reading.Problem, StringComparison.Ordinal);
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private Task<ThermometerReading> ReadAsync(int? index = null, string? name = null) => _reader.ReadAsync(Named(index, name), Agent(), TimeSpan.FromMinutes(6), Stop);

    private static Thermometer Named(int? index, string? name) => new("air", "quay", index, name, null);

    private SnmpAgent Agent() => new("127.0.0.1", _agent.Endpoint.Port, "default", TimeSpan.FromSeconds(60), null);

    private void PutRow(int index, string name, int tenths)
    {
        Put($"1.3.6.1.2.1.47.1.1.1.1.7.{index}", SnmpValue.Text(name));
        Put($"1.3.6.1.2.1.99.1.1.1.1.{index}", SnmpValue.Integer32(8));
        Put($"1.3.6.1.2.1.99.1.1.1.2.{index}", SnmpValue.Integer32(9));
        Put($"1.3.6.1.2.1.99.1.1.1.3.{index}", SnmpValue.Integer32(1));
        Put($"1.3.6.1.2.1.99.1.1.1.4.{index}", SnmpValue.Integer32(tenths));
        Put($"1.3.6.1.2.1.99.1.1.1.5.{index}", SnmpValue.Integer32(1));
        Put($"1.3.6.1.2.1.99.1.1.1.6.{index}", SnmpValue.Text("degrees Celsius"));
    }

    private void Put(string oid, SnmpValue value) => _agent.Table.Set(Oid.Parse(oid), value);

    private sealed class Credentials : ICredentialSource
    {
        public SnmpCredentials? Find(string name, out string problem)
        {
            problem = "";
            return new CommunityCredentials("harbour");
        }
    }
}
