using Microsoft.Extensions.Options;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling;

/// <summary>One poll over a real loopback socket. Object numbers and codes are those of RFC 3621.</summary>
public sealed class SnmpSwitchReaderTests : IAsyncDisposable
{
    private const string Draws = "1.3.111.2.802.3.1.8.1.1.1.15";

    private readonly ScriptedAgent _agent = new("harbour");
    private readonly SnmpClient _client = new(TimeProvider.System);
    private readonly Credentials _credentials = new();
    private SnmpSwitchReader _reader;

    private SheetBook Sheets { get; set; } = SheetBook.Empty;

    public SnmpSwitchReaderTests()
    {
        // Patient, because this machine may be busy; the tests of silence set their own.
        _reader = Reader(TimeSpan.FromSeconds(5));
        Put("1.3.6.1.2.1.1.3.0", SnmpValue.TimeTicks(8_640_000));
        Put("1.3.6.1.2.1.105.1.1.1.6.1.1", SnmpValue.Integer32(3));
        Put("1.3.6.1.2.1.105.1.1.1.6.1.2", SnmpValue.Integer32(2));
        Put("1.3.6.1.2.1.105.1.1.1.6.1.3", SnmpValue.Integer32(3));
        Put("1.3.6.1.2.1.105.1.1.1.10.1.1", SnmpValue.Integer32(5));
        Put("1.3.6.1.2.1.105.1.1.1.10.1.2", SnmpValue.Integer32(1));
        Put("1.3.6.1.2.1.105.1.1.1.10.1.3", SnmpValue.Integer32(4));
        Put(Draws + ".1.1", SnmpValue.Integer32(21_500));
        Put("1.3.6.1.2.1.105.1.3.1.1.2.1", SnmpValue.Gauge32(720));
        Put("1.3.6.1.2.1.105.1.3.1.1.3.1", SnmpValue.Integer32(1));
        Put("1.3.6.1.2.1.105.1.3.1.1.4.1", SnmpValue.Gauge32(34));
        Put("1.3.6.1.2.1.31.1.1.1.1.1", SnmpValue.Text("ge1/0/1"));
    }

    [Fact]
    public async Task One_poll_reads_ports_groups_up_time_and_names_with_their_provenance()
    {
        SwitchReading reading = await PollAsync();

        Assert.Equal((PollOutcome.Answered, TimeSpan.FromDays(1)), (reading.Outcome, reading.UpTime));
        Assert.Equal(
            [
                (1, PortState.Delivering, 21_500L, Provenance.Measured),
                (2, PortState.Searching, 0L, Provenance.Off),
                (3, PortState.Delivering, 15_400L, Provenance.ClassBound),
            ],
            reading.Ports.Select(p => (p.Port.Port, p.State, p.DrawAtPse!.Value.Milliwatts, p.Provenance)));
        GroupReading group = Assert.Single(reading.Groups);
        Assert.Equal((1, 720.0, 34.0, true), (group.Group, group.Budget!.Value.Watts, group.DrawAtPse!.Value.Watts, group.IsOn));
        Assert.Equal("ge1/0/1", reading.InterfaceNames[new PsePortRef("quay", 1, 1)]);
    }

    // 127.0.0.1 is asked, 127.0.0.2 answers: two real sockets.
    [Fact]
    public async Task An_answer_from_another_address_of_the_switch_counts_only_where_the_design_names_it()
    {
        _agent.Always = AgentFault.OtherAddress;
        PollTarget strict = Target(_agent.Endpoint.Port, null);
        SnmpSwitchReader impatient = Reader(TimeSpan.FromMilliseconds(100));
        Assert.Equal(PollOutcome.Silent, (await impatient.ReadAsync(strict, TestContext.Current.CancellationToken)).Outcome);

        PollTarget lenient = strict with { Agent = strict.Agent with { AnswersFrom = [LoopbackAgent.OtherAddress] } };
        SwitchReading reading = await _reader.ReadAsync(lenient, TestContext.Current.CancellationToken);

        Assert.Equal((PollOutcome.Answered, 3), (reading.Outcome, reading.Ports.Length));
    }

    // RFC 3621 pethPsePortPowerPriority: critical(1), high(2), low(3).
    [Fact]
    public async Task Configured_priorities_come_with_the_names_and_are_kept_between()
    {
        Put("1.3.6.1.2.1.105.1.1.1.7.1.1", SnmpValue.Integer32(1));
        Put("1.3.6.1.2.1.105.1.1.1.7.1.2", SnmpValue.Integer32(9));
        await PollAsync();

        SwitchReading second = await PollAsync();

        Assert.Empty(second.InterfaceNames);
        Assert.Equal([Criticality.Critical, Criticality.Unknown, Criticality.Unknown], second.Ports.Select(p => p.Priority));
    }

    [Fact]
    public async Task Names_are_read_on_a_slower_beat()
    {
        await PollAsync();

        Assert.Empty((await PollAsync()).InterfaceNames);
    }

    [Fact]
    public async Task Without_a_draw_column_class_bounds_are_all_there_is_and_are_called_so()
    {
        _agent.Table.Remove(Oid.Parse(Draws + ".1.1"));

        SwitchReading reading = await PollAsync(new DrawColumn("1.3.6.1.4.1.99999.1", DrawUnit.Milliwatt, DrawIndex.GroupAndPort));

        Assert.Equal([Provenance.ClassBound, Provenance.Off, Provenance.ClassBound], reading.Ports.Select(p => p.Provenance));
        Assert.DoesNotContain(reading.Ports, p => p.State == PortState.Delivering && p.Draw is not null);
    }

    [Fact]
    public async Task A_draw_column_by_interface_index_reaches_only_the_ports_whose_interface_is_known()
    {
        Put("1.3.6.1.4.1.99999.2.1", SnmpValue.Integer32(187));
        Put("1.3.6.1.4.1.99999.2.3", SnmpValue.Integer32(55));
        var column = new DrawColumn("1.3.6.1.4.1.99999.2", DrawUnit.Deciwatt, DrawIndex.IfIndex);
        await PollAsync(column);

        SwitchReading reading = await PollAsync(column);

        Assert.Equal((18_700, Provenance.Measured), (reading.Ports[0].DrawAtPse!.Value.Milliwatts, reading.Ports[0].Provenance));
        Assert.Equal(Provenance.ClassBound, reading.Ports[2].Provenance);
    }

    [Fact]
    public async Task An_agent_that_does_not_answer_is_silent_and_none_of_its_ports_is_zero()
    {
        _agent.Always = AgentFault.Silence;
        _reader = Reader(TimeSpan.FromMilliseconds(100));

        SwitchReading reading = await PollAsync();

        Assert.Equal(PollOutcome.Silent, reading.Outcome);
        Assert.Empty(reading.Ports);
        Assert.Contains("community in 'harbour-ro'", reading.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_wrong_community_is_silence_and_the_message_says_so()
    {
        _credentials.Given = new CommunityCredentials("wrong");
        _reader = Reader(TimeSpan.FromMilliseconds(100));

        SwitchReading reading = await PollAsync();

        Assert.Equal(PollOutcome.Silent, reading.Outcome);
        Assert.Contains("does not know a community stays silent", reading.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Missing_credentials_are_named_with_their_remedy()
    {
        _credentials.Given = null;

        SwitchReading reading = await PollAsync();

        Assert.Equal((PollOutcome.Refused, "no such name: add it"), (reading.Outcome, reading.Detail));
    }

    [Fact]
    public async Task Answers_that_cannot_be_read_are_malformed_and_nothing_is_made_of_them()
    {
        _agent.Always = AgentFault.Truncated;
        _reader = Reader(TimeSpan.FromSeconds(1));

        SwitchReading reading = await PollAsync();

        Assert.Equal(PollOutcome.Malformed, reading.Outcome);
        Assert.Empty(reading.Ports);
    }

    [Fact]
    public async Task A_device_without_PoE_is_told_from_a_silent_one()
    {
        await using var other = new ScriptedAgent("harbour");
        other.Table.Set("1.3.6.1.2.1.1.3.0", SnmpValue.TimeTicks(100));

        SwitchReading reading = await _reader.ReadAsync(Target(other.Endpoint.Port, null), TestContext.Current.CancellationToken);

        Assert.Equal(PollOutcome.NoPoe, reading.Outcome);
    }

    [Fact]
    public async Task What_a_broken_agent_did_answer_is_kept()
    {
        // From the second request on every answer repeats itself.
        _agent.Next(AgentFault.None);
        _agent.Always = AgentFault.StuckOids;
        _agent.MaxResponseBytes = 300;

        SwitchReading reading = await PollAsync();

        Assert.Equal(PollOutcome.Partial, reading.Outcome);
        Assert.NotEmpty(reading.Ports);
    }

    [Fact]
    public async Task An_up_time_that_TimeTicks_cannot_hold_is_unknown_and_spoils_nothing_else()
    {
        // RFC 3418: sysUpTime is TimeTicks, 32 bits.
        Put("1.3.6.1.2.1.1.3.0", SnmpValue.Counter64(ulong.MaxValue));

        SwitchReading reading = await PollAsync();

        Assert.Equal((PollOutcome.Answered, null), (reading.Outcome, reading.UpTime));
        Assert.Equal(21_500, reading.Ports[0].DrawAtPse!.Value.Milliwatts);
    }

    [Fact]
    public async Task More_watts_than_any_group_has_are_no_draw()
    {
        // RFC 3621: pethMainPsePower ends at 65535 W. All bits set is how some agents say that they do not know.
        Put("1.3.6.1.2.1.105.1.3.1.1.2.1", SnmpValue.Gauge32(uint.MaxValue));
        Put("1.3.6.1.2.1.105.1.3.1.1.4.1", SnmpValue.Gauge32(uint.MaxValue));

        GroupReading group = Assert.Single((await PollAsync()).Groups);

        Assert.Equal((null, null, Provenance.Unknown), (group.Budget, group.DrawAtPse, group.Provenance));
    }

    [Fact]
    public async Task An_agent_that_shows_more_ports_than_any_switch_has_is_not_believed()
    {
        for (var port = 1; port <= 2_001; port++)
        {
            Put(FormattableString.Invariant($"1.3.6.1.2.1.105.1.1.1.6.1.{port}"), SnmpValue.Integer32(3));
        }

        SwitchReading reading = await PollAsync();

        Assert.Equal(PollOutcome.Malformed, reading.Outcome);
        Assert.Empty(reading.Ports);
        Assert.Contains("2001 ports", reading.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_was_learned_of_one_agent_is_not_used_for_another_that_takes_its_place()
    {
        var column = new DrawColumn("1.3.6.1.4.1.99999.2", DrawUnit.Deciwatt, DrawIndex.IfIndex);
        Put("1.3.6.1.4.1.99999.2.1", SnmpValue.Integer32(187));
        await PollAsync(column);
        await using var other = new ScriptedAgent("harbour");
        other.Table.Set("1.3.6.1.2.1.1.3.0", SnmpValue.TimeTicks(9_000_000));
        other.Table.Set("1.3.6.1.2.1.105.1.1.1.6.1.1", SnmpValue.Integer32(3));
        other.Table.Set("1.3.6.1.2.1.31.1.1.1.1.1", SnmpValue.Text("ge1/0/9"));
        other.Table.Set("1.3.6.1.2.1.31.1.1.1.1.10", SnmpValue.Text("ge1/0/1"));
        other.Table.Set("1.3.6.1.4.1.99999.2.1", SnmpValue.Integer32(66));
        other.Table.Set("1.3.6.1.4.1.99999.2.10", SnmpValue.Integer32(55));

        SwitchReading reading = await _reader.ReadAsync(Target(other.Endpoint.Port, column), TestContext.Current.CancellationToken);

        Assert.Equal(5_500, Assert.Single(reading.Ports).DrawAtPse!.Value.Milliwatts);
    }

    [Fact]
    public async Task A_group_that_says_0_W_while_a_port_of_it_delivers_does_not_know_its_draw()
    {
        // Agents that do not measure the group give 0; RFC 3621 counts whole watts, so a true draw may also round to it.
        Put("1.3.6.1.2.1.105.1.3.1.1.4.1", SnmpValue.Gauge32(0));

        GroupReading group = Assert.Single((await PollAsync()).Groups);

        Assert.Equal((null, Provenance.Unknown), (group.DrawAtPse, group.Provenance));
    }

    [Fact]
    public async Task A_group_that_says_0_W_while_none_of_its_ports_delivers_draws_0_W()
    {
        Put("1.3.6.1.2.1.105.1.3.1.1.4.1", SnmpValue.Gauge32(0));
        Put("1.3.6.1.2.1.105.1.1.1.6.1.1", SnmpValue.Integer32(2));
        Put("1.3.6.1.2.1.105.1.1.1.6.1.3", SnmpValue.Integer32(2));

        GroupReading group = Assert.Single((await PollAsync()).Groups);

        Assert.Equal((0.0, Provenance.Measured), (group.DrawAtPse!.Value.Watts, group.Provenance));
    }

    [Fact]
    public async Task An_agent_that_answers_when_it_is_asked_why_it_was_silent_does_not_pass_as_refusing_from_then_on()
    {
        _reader = Reader(TimeSpan.FromMilliseconds(300));
        _agent.Next(AgentFault.Silence);
        _agent.Next(AgentFault.Silence);
        SwitchReading first = await PollAsync();
        _agent.Always = AgentFault.Silence;

        SwitchReading second = await PollAsync();

        Assert.Equal((PollOutcome.Silent, PollOutcome.Silent), (first.Outcome, second.Outcome));
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private SnmpSwitchReader Reader(TimeSpan timeout) =>
        new(_client, _credentials, Sheets, Options.Create(new PollingOptions { Timeout = timeout, Retries = 0 }), TimeProvider.System);

    private void Put(string oid, SnmpValue value) => _agent.Table.Set(oid, value);

    private Task<SwitchReading> PollAsync(DrawColumn? column = null) => _reader.ReadAsync(
        Target(_agent.Endpoint.Port, column ?? new DrawColumn(Draws, DrawUnit.Milliwatt, DrawIndex.GroupAndPort)),
        TestContext.Current.CancellationToken);

    private static PollTarget Target(int port, DrawColumn? column) => new(
        "quay",
        new SnmpAgent("127.0.0.1", port, "harbour-ro", TimeSpan.FromSeconds(60), column),
        PortTypes.Of(new[] { 1, 3 }.Select(port => KeyValuePair.Create(new PsePortRef("quay", 1, port), PoeType.Type2))));

    private sealed class Credentials : ICredentialSource
    {
        public SnmpCredentials? Given { get; set; } = new CommunityCredentials("harbour");

        public SnmpCredentials? Find(string name, out string problem)
        {
            problem = Given is null ? "no such name: add it" : string.Empty;
            return Given;
        }
    }
}
