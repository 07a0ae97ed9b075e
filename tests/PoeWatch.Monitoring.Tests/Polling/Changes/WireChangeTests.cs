using System.Collections.Frozen;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling.Changes;

/// <summary>Restarts, replacements and counters over a real loopback socket; the time between polls is driven.</summary>
public sealed class WireChangeTests : IAsyncDisposable
{
    // IEEE Std 802.3.1 pethPsePortCumulativeEnergy, Counter32 of millijoules.
    private const string Energy = "1.3.111.2.802.3.1.8.1.1.1.17.1.1";
    private const string UpTime = "1.3.6.1.2.1.1.3.0";
    private const string ObjectId = "1.3.6.1.2.1.1.2.0";
    private const string EngineId = "1.3.6.1.6.3.10.2.1.1.0";
    private const string EngineBoots = "1.3.6.1.6.3.10.2.1.2.0";
    private const string SystemUpTime = "1.3.6.1.2.1.25.1.1.0";
    private const string Serial = "1.3.6.1.2.1.47.1.1.1.1.11.1";
    private const string PowerDenied = "1.3.6.1.2.1.105.1.1.1.12.1.1";

    private readonly ScriptedAgent _agent = new("harbour");
    private readonly SnmpClient _client = new(TimeProvider.System);
    private readonly FakeTimeProvider _time = new();
    private readonly SnmpSwitchReader _reader;
    private double _upTime = 1000;
    private double _joules;

    public WireChangeTests()
    {
        _reader = new SnmpSwitchReader(
            _client, new Secrets(), SheetBook.Empty, Options.Create(new PollingOptions { Timeout = TimeSpan.FromSeconds(5), Retries = 0 }), _time);
        Put(ObjectId, SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.4.1.99999.1")));
        Put(EngineId, SnmpValue.Octets([0x80, 0, 0, 0, 5, 1]));
        Put(EngineBoots, SnmpValue.Integer32(4));
        Put(SystemUpTime, SnmpValue.TimeTicks(50_000_000));
        Put(Serial, SnmpValue.Text("S-100"));
        Put("1.3.6.1.2.1.105.1.1.1.6.1.1", SnmpValue.Integer32(3));
        Put("1.3.6.1.2.1.105.1.1.1.10.1.1", SnmpValue.Integer32(5));
        Put(PowerDenied, SnmpValue.Counter32(4_294_967_290));
    }

    [Fact]
    public async Task A_rate_never_crosses_a_restart_even_where_the_up_time_is_longer_than_before()
    {
        await PollAsync(seconds: 0, watts: 0);
        await PollAsync(seconds: 1, watts: 0);
        Assert.Equal(20_000, Draw(await PollAsync(seconds: 60, watts: 20)));

        // An hour without a poll; the agent started 2000 s ago, so its up time is longer than the 1060 s of before. Its energy began at 0 again.
        _joules = 0;
        Put(EngineBoots, SnmpValue.Integer32(5));
        _upTime = 2000 - 3600;
        SwitchReading restarted = await PollAsync(seconds: 3600, watts: 10);
        Assert.Equal(AgentChangeKind.Restarted, Assert.Single(restarted.Changes).Kind);
        Assert.Null(Assert.Single(restarted.Ports).Draw);

        Assert.Equal(15_000, Draw(await PollAsync(seconds: 60, watts: 15)));
    }

    [Fact]
    public async Task A_counter_that_wraps_between_two_polls_gives_the_true_rate()
    {
        _joules = (uint.MaxValue - 5_000) / 1000.0;
        await PollAsync(seconds: 0, watts: 0);
        await PollAsync(seconds: 1, watts: 0);

        Assert.Equal(20_000, Draw(await PollAsync(seconds: 60, watts: 20)));
    }

    [Fact]
    public async Task An_agent_that_starts_again_while_the_switch_runs_on_is_told_apart_and_once()
    {
        await PollAsync(seconds: 0);
        _upTime = -50;
        Put(EngineBoots, SnmpValue.Integer32(5));
        Put(SystemUpTime, SnmpValue.TimeTicks(50_006_000));

        SwitchReading restarted = await PollAsync(seconds: 60);
        Put(SystemUpTime, SnmpValue.TimeTicks(50_012_000));
        SwitchReading after = await PollAsync(seconds: 60);

        Assert.Equal(AgentChangeKind.AgentRestarted, Assert.Single(restarted.Changes).Kind);
        Assert.Empty(after.Changes);
    }

    [Fact]
    public async Task Another_switch_of_the_same_model_shows_by_its_engine_and_serial_number()
    {
        await PollAsync(seconds: 0);
        Put(EngineId, SnmpValue.Octets([0x80, 0, 0, 0, 5, 2]));
        Put(Serial, SnmpValue.Text("S-200"));
        _upTime = 900_000;

        AgentChange change = Assert.Single((await PollAsync(seconds: 60)).Changes);

        Assert.Equal(AgentChangeKind.Replaced, change.Kind);
        Assert.Contains("'S-100' and is 'S-200'", change.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_engine_with_a_new_id_in_the_same_switch_is_no_replacement()
    {
        await PollAsync(seconds: 0);
        Put(EngineId, SnmpValue.Octets([0x80, 0, 0, 0, 5, 2]));

        AgentChange change = Assert.Single((await PollAsync(seconds: 60)).Changes);

        Assert.Equal(AgentChangeKind.Restarted, change.Kind);
        Assert.Empty((await PollAsync(seconds: 900)).Changes);
    }

    [Fact]
    public async Task A_switch_that_is_replaced_while_everything_else_looks_alike_shows_with_the_slow_objects()
    {
        await PollAsync(seconds: 0);
        Put(Serial, SnmpValue.Text("S-200"));
        Assert.Empty((await PollAsync(seconds: 60)).Changes);

        Assert.Equal(AgentChangeKind.Replaced, Assert.Single((await PollAsync(seconds: 900)).Changes).Kind);
    }

    [Fact]
    public async Task Members_of_a_stack_with_other_numbers_are_told()
    {
        Put("1.3.6.1.2.1.105.1.1.1.6.2.1", SnmpValue.Integer32(2));
        await PollAsync(seconds: 0);
        _agent.Table.Remove(Oid.Parse("1.3.6.1.2.1.105.1.1.1.6.2.1"));
        Put("1.3.6.1.2.1.105.1.1.1.6.3.1", SnmpValue.Integer32(2));

        Assert.Equal(AgentChangeKind.Renumbered, Assert.Single((await PollAsync(seconds: 60)).Changes).Kind);
    }

    [Fact]
    public async Task Fault_counters_are_read_on_a_slower_beat_and_through_their_wrap()
    {
        await PollAsync(seconds: 0);
        Put(PowerDenied, SnmpValue.Counter32(5));
        Assert.Empty((await PollAsync(seconds: 60)).PortEvents);

        PortEvents events = Assert.Single((await PollAsync(seconds: 240)).PortEvents);

        // RFC 2578 section 7.1.6: from 4294967290 to 5 are 11.
        Assert.Equal((new PsePortRef("quay", 1, 1), 11u, 0u, TimeSpan.FromSeconds(300)), (events.Port, events.PowerDenied, events.Overload, events.Over));
    }

    [Fact]
    public async Task Fault_counters_never_cross_a_restart()
    {
        await PollAsync(seconds: 0);
        Put(EngineBoots, SnmpValue.Integer32(5));
        Put(PowerDenied, SnmpValue.Counter32(5));

        Assert.Empty((await PollAsync(seconds: 400)).PortEvents);
    }

    [Fact]
    public async Task An_agent_that_is_cut_off_is_asked_one_request_and_polled_in_full_where_it_answers()
    {
        PollTarget cutOff = Target(_agent.Endpoint.Port) with { Upstream = "ring", IsOneRequest = true };
        Assert.Equal(PollOutcome.Answered, (await _reader.ReadAsync(cutOff, TestContext.Current.CancellationToken)).Outcome);
        var before = _agent.Requests;

        await using var silent = new SilentPort();
        PollTarget away = cutOff with { Agent = cutOff.Agent with { UdpPort = silent.Port } };
        SwitchReading reading = await _reader.ReadAsync(away, TestContext.Current.CancellationToken);

        Assert.Equal((PollOutcome.Silent, before), (reading.Outcome, _agent.Requests));
        Assert.Contains("'ring'", reading.Detail, StringComparison.Ordinal);
        Assert.Equal(1, silent.Received);
    }

    [Fact]
    public async Task An_agent_that_left_the_design_is_forgotten()
    {
        Put("1.3.6.1.2.1.31.1.1.1.1.1", SnmpValue.Text("ge1/0/1"));
        Assert.NotEmpty((await PollAsync(seconds: 0)).InterfaceNames);
        Assert.Empty((await PollAsync(seconds: 1)).InterfaceNames);

        ((ISwitchReader)_reader).Keep(FrozenDictionary<string, PollTarget>.Empty);

        // Names come with the first poll of an agent that nothing is known of.
        Put(EngineId, SnmpValue.Octets([0x80, 0, 0, 0, 5, 9]));
        SwitchReading again = await PollAsync(seconds: 1);
        Assert.NotEmpty(again.InterfaceNames);
        Assert.Empty(again.Changes);
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private static double? Draw(SwitchReading reading) => Assert.Single(reading.Ports).Draw is { } draw ? Math.Round(draw.Watts * 1000) : null;

    private static PollTarget Target(int port) => new(
        "quay", new SnmpAgent("127.0.0.1", port, "harbour-ro", TimeSpan.FromSeconds(60), null), PortTypes.None);

    private void Put(string oid, SnmpValue value) => _agent.Table.Set(oid, value);

    /// <summary>Lets time pass, at this draw, and polls.</summary>
    private Task<SwitchReading> PollAsync(double seconds, double watts = 10)
    {
        _time.Advance(TimeSpan.FromSeconds(seconds));
        _upTime += seconds;
        _joules += watts * seconds;
        Put(UpTime, SnmpValue.TimeTicks((uint)(_upTime * 100)));
        Put(Energy, SnmpValue.Counter32((uint)((ulong)(_joules * 1000) % (1UL << 32))));
        return _reader.ReadAsync(Target(_agent.Endpoint.Port), TestContext.Current.CancellationToken);
    }

    private sealed class Secrets : ICredentialSource
    {
        public SnmpCredentials? Find(string name, out string problem)
        {
            problem = string.Empty;
            return new CommunityCredentials("harbour");
        }
    }

    /// <summary>A port that counts what comes and never answers.</summary>
    private sealed class SilentPort : IAsyncDisposable
    {
        private readonly System.Net.Sockets.UdpClient _socket = new(new System.Net.IPEndPoint(System.Net.IPAddress.Loopback, 0));

        public int Port => ((System.Net.IPEndPoint)_socket.Client.LocalEndPoint!).Port;

        public int Received
        {
            get
            {
                var count = 0;
                for (; _socket.Available > 0; count++)
                {
                    System.Net.IPEndPoint? from = null;
                    _socket.Receive(ref from);
                }

                return count;
            }
        }

        public ValueTask DisposeAsync()
        {
            _socket.Dispose();
            return ValueTask.CompletedTask;
        }
    }
}
