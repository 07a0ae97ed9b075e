using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Snmp.Transport;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Snmp.Tests.Transport;

/// <summary>
/// Datagrams that go wrong between real sockets, on a clock that only the test moves. The agent says when a request has
/// arrived, the statistics when an answer has been dealt with; only then does time go on.
/// </summary>
public sealed class FaultTests : IAsyncLifetime
{
    private static readonly Oid SysName = Oid.Parse("1.3.6.1.2.1.1.5.0");
    private static readonly TimeSpan Wait = TimeSpan.FromMilliseconds(500);

    private readonly FakeTimeProvider _time = new();
    private readonly ScriptedAgent _agent = new();
    private SnmpClient _client = null!;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private SnmpStatistics Statistics => _client.Statistics;

    public ValueTask InitializeAsync()
    {
        _client = new SnmpClient(_time);
        _agent.Table.Set(SysName, SnmpValue.Text("quay-7"));
        return ValueTask.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
        Assert.Equal(0, Statistics.Faults);
    }

    private async Task<Task<SnmpResult>> AskAsync(int retries = 0, params IPAddress[] alsoAnswersFrom)
    {
        Task<SnmpResult> asking = _client.GetAsync(
            new SnmpTarget(_agent.Endpoint, new CommunityCredentials("public"), Wait, retries, alsoAnswersFrom: alsoAnswersFrom),
            [SysName],
            Token);
        await _agent.NextRequestAsync(Token);
        return asking;
    }

    private void Pass(TimeSpan wait) => _time.Advance(wait + Dispatcher.Tick);

    [Fact]
    public async Task Silence_is_waited_for_twice_as_long_each_time()
    {
        _agent.Always = AgentFault.Silence;
        Task<SnmpResult> asking = await AskAsync(retries: 2);

        Pass(Wait - (2 * Dispatcher.Tick));
        Assert.Equal(1, _agent.Requests);
        Pass(2 * Dispatcher.Tick);
        await _agent.NextRequestAsync(Token);
        Pass((2 * Wait) - (3 * Dispatcher.Tick));
        Assert.Equal(2, _agent.Requests);
        Pass(3 * Dispatcher.Tick);
        await _agent.NextRequestAsync(Token);
        Assert.False(asking.IsCompleted);
        Pass(4 * Wait);

        SnmpResult result = await asking;
        Assert.Equal((SnmpOutcome.Timeout, 3), (result.Outcome, result.Attempts));
        Assert.Equal((3, 2, 1), (Statistics.Sent, Statistics.Retries, Statistics.Timeouts));
    }

    [Fact]
    public async Task Retry_is_answered()
    {
        _agent.Next(AgentFault.Silence);
        Task<SnmpResult> asking = await AskAsync(retries: 1);
        Pass(Wait);

        SnmpResult result = await asking;

        Assert.Equal((SnmpOutcome.Answered, 2), (result.Outcome, result.Attempts));
    }

    [Fact]
    public async Task Late_answer_is_counted_and_disturbs_nobody()
    {
        _agent.Next(AgentFault.Held);
        Task<SnmpResult> asking = await AskAsync();
        Pass(Wait);
        Assert.Equal(SnmpOutcome.Timeout, (await asking).Outcome);

        Assert.Equal(1, await _agent.ReleaseHeldAsync(Token));
        await Conditions.UntilAsync(() => Statistics.Late == 1, "the late answer");

        Assert.True((await await AskAsync()).IsAnswered);
    }

    [Fact]
    public async Task Duplicate_answer_is_counted()
    {
        _agent.Next(AgentFault.Twice);

        Assert.True((await await AskAsync()).IsAnswered);
        await Conditions.UntilAsync(() => Statistics.Duplicate == 1, "the second copy");
        Assert.Equal((1, 0), (Statistics.Answered, Statistics.Foreign));
    }

    [Fact]
    public async Task Answer_from_another_address_of_the_device_is_foreign_unless_the_target_names_it()
    {
        _agent.Always = AgentFault.OtherAddress;
        Task<SnmpResult> strict = await AskAsync();
        await Conditions.UntilAsync(() => Statistics.Foreign == 1, "the foreign answer");
        Pass(Wait);
        Assert.Equal(SnmpOutcome.Timeout, (await strict).Outcome);

        Task<SnmpResult> another = await AskAsync(0, IPAddress.Parse("127.0.0.3"), IPAddress.IPv6Loopback);
        await Conditions.UntilAsync(() => Statistics.Foreign == 2, "the answer from an address that is not named");
        Pass(Wait);
        Assert.Equal(SnmpOutcome.Timeout, (await another).Outcome);

        SnmpResult lenient = await await AskAsync(0, IPAddress.Parse("127.0.0.3"), LoopbackAgent.OtherAddress);
        Assert.True(lenient.IsAnswered);
        Assert.Equal(new IPEndPoint(LoopbackAgent.OtherAddress, _agent.Endpoint.Port), lenient.Responder);
    }

    [Fact]
    public async Task Answer_from_another_port_is_foreign_whatever_addresses_are_named()
    {
        _agent.Always = AgentFault.OtherSource;
        Task<SnmpResult> asking = await AskAsync(0, _agent.Endpoint.Address);
        await Conditions.UntilAsync(() => Statistics.Foreign == 1, "the foreign answer");
        Pass(Wait);
        Assert.Equal(SnmpOutcome.Timeout, (await asking).Outcome);
    }

    [Fact]
    public async Task Answer_to_another_id_is_foreign_and_the_right_one_still_counts()
    {
        _agent.Next(AgentFault.WrongId);
        Task<SnmpResult> asking = await AskAsync(retries: 1);
        await Conditions.UntilAsync(() => Statistics.Foreign == 1, "the answer with a foreign id");
        Assert.False(asking.IsCompleted);
        Pass(Wait);

        Assert.True((await asking).IsAnswered);
    }

    [Theory]
    [InlineData(AgentFault.Truncated, SnmpOutcome.Malformed)]
    [InlineData(AgentFault.Garbage, SnmpOutcome.Timeout)] // nothing in it says whose answer it was
    public async Task Damaged_answers_are_told_from_silence_where_they_can_be(AgentFault fault, SnmpOutcome outcome)
    {
        _agent.Always = fault;
        Task<SnmpResult> asking = await AskAsync();
        await Conditions.UntilAsync(() => Statistics.Malformed == 1, "the damaged answer");
        Assert.False(asking.IsCompleted);
        Pass(Wait);

        Assert.Equal(outcome, (await asking).Outcome);
    }

    [Fact]
    public async Task Damaged_answer_is_forgiven_when_a_whole_one_follows()
    {
        _agent.Next(AgentFault.Truncated);
        Task<SnmpResult> asking = await AskAsync(retries: 1);
        await Conditions.UntilAsync(() => Statistics.Malformed == 1, "the damaged answer");
        Pass(Wait);

        Assert.True((await asking).IsAnswered);
    }

    [Fact]
    public async Task Answer_of_another_version_is_foreign()
    {
        _agent.Mangle = answer =>
        {
            byte[] version1 = [.. answer];
            version1[4] = 0;
            return version1;
        };
        Task<SnmpResult> asking = await AskAsync();
        await Conditions.UntilAsync(() => Statistics.Malformed + Statistics.Foreign == 1, "the answer of another version");
        Pass(Wait);

        Assert.Equal(SnmpOutcome.Timeout, (await asking).Outcome);
    }

    /// <summary>Linux tells an unconnected socket of ICMP errors when asked to; other systems do not, there it is silence.</summary>
    [Fact]
    public async Task Port_where_nobody_listens_is_unreachable()
    {
        await _agent.DisposeAsync();
        Task<SnmpResult> asking = _client.GetAsync(
            new SnmpTarget(_agent.Endpoint, new CommunityCredentials("public"), Wait, retries: 0), [SysName], Token);
        if (OperatingSystem.IsLinux())
        {
            await Conditions.UntilAsync(() => Statistics.Unreachable == 1, "the ICMP error");
        }

        Pass(Wait);

        Assert.Equal(OperatingSystem.IsLinux() ? SnmpOutcome.Unreachable : SnmpOutcome.Timeout, (await asking).Outcome);
    }

    [Fact]
    public async Task However_many_datagrams_the_network_refuses_the_agents_that_answer_are_heard()
    {
        SnmpTarget gone;
        using (var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp))
        {
            socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
            gone = new SnmpTarget((IPEndPoint)socket.LocalEndPoint!, new CommunityCredentials("public"), Wait, retries: 0);
        }

        // A site whose uplink is down: nothing but errors for a long time.
        for (var i = 1; i <= 1_200; i++)
        {
            _ = _client.GetAsync(gone, [SysName], Token);
            if (OperatingSystem.IsLinux())
            {
                await Conditions.UntilAsync(() => Statistics.Unreachable >= i, "an ICMP error");
            }
        }

        Task<SnmpResult> asking = await AskAsync();
        await Conditions.UntilAsync(() => asking.IsCompleted, "the answer of the agent that is there");

        Assert.Equal(SnmpOutcome.Answered, (await asking).Outcome);
    }
}
